import { voiceFor } from '../../src/views/words/voice.ts';
import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { findingInWords, sentence } from '../../src/http/pages/frame/finding-words.ts';

it.each([
  ['A seam opens.', 'A seam opens.'],
  ['a seam opens', 'a seam opens.'],
  ['Why is it wet?', 'Why is it wet?'],
  ['He said “it leaks.”', 'He said “it leaks.”'],
  ['Rust at the lid: ', 'Rust at the lid.'],
])('a finding written as "%s" is read as "%s"', (written, read) => {
  expect(sentence(written)).toBe(read);
});

it('is told whole, sentence by sentence, however it was written', () => {
  const seam = { pivot: 'L-MAIN', text: 'A seam opens', advised: 'Sew it', outcome: 'accepted' };
  expect(findingInWords(seam, voiceFor('en'))).toBe(
    'left main pivot: A seam opens. Advised: Sew it. Agreed.',
  );
  const outcome = fc.constantFrom('advised', 'accepted', 'declined', 'done');
  const words = fc.constantFrom('A seam opens.', 'A seam opens', 'A seam opens:', 'Wet?', 'x …');
  fc.assert(
    fc.property(words, fc.option(words), outcome, (text, advised, came) => {
      const told = findingInWords({ pivot: null, text, advised, outcome: came }, voiceFor('en'));
      expect(told).not.toMatch(/[.!?:][.:,;]|[a-z] [A-Z]/);
      expect(told.endsWith('.')).toBe(true);
    }),
  );
});
