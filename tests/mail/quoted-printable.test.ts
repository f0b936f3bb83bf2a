import * as fc from 'fast-check';
import { encode, wrap } from 'nodemailer/lib/qp';
import { expect, test } from 'vitest';
import { quotedPrintable } from '../../src/mail/quoted-printable.ts';
import { runs } from '../setup/runs.ts';

const WORDS = ['a', 'Z', '0', 'f', '=', '.', ',', '!', '<p style="margin:0">'];
const WIDE = ['ö', '漢', '😀', '\u2028', '\ud800', '='];
const ENDS = [' ', '\t', '\n', '\r', '\r\n'];

/** Texts of all sorts, and of those parts alone at which lines are hardest to break. */
const texts = fc
  .constantFrom(
    [...WORDS, ...WIDE, ...ENDS],
    [...WORDS, ...WORDS, ...WORDS, ...WIDE, ' '],
    [...WIDE, 'a'],
    ['a', ...WORDS, '\r', '\n'],
    [...Array.from({ length: 40 }, () => 'a'), ...ENDS],
  )
  .chain((parts) => fc.array(fc.constantFrom(...parts), { maxLength: 400, size: 'max' }))
  .map((parts) => parts.join(''));

test('any text: byte for byte what nodemailer makes of it, in lines of 76 characters (RFC 2045, 6.7)', () => {
  fc.assert(
    fc.property(texts, (text) => {
      const ours = quotedPrintable(text).toString('latin1');
      expect(ours).toBe(wrap(encode(text)));
      expect(ours.split(/\r\n|\n|\r/).filter((line) => line.length > 76)).toEqual([]);
    }),
    { numRuns: runs(1_000) },
  );
});

// RFC 2045, 6.7, rules 1, 3 and 5.
test.each([
  ['', ''],
  ['a=b', 'a=3Db'],
  ['ends here \nand here\t', 'ends here=20\nand here=09'],
  ['Öl', '=C3=96l'],
  ['word '.repeat(20), `${'word '.repeat(14)}word =\r\n${'word '.repeat(4)}word=20`],
])('%j is %j', (text, quoted) => {
  expect(quotedPrintable(text).toString('latin1')).toBe(quoted);
});
