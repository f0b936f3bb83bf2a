import { describe, expect, it } from 'vitest';
import { withoutPerson } from '../../../src/domain/erasure/without-person.ts';

const person = {
  names: ['Isolde van Zimmertal-Ó Broin'],
  addresses: ['Isolde.Z@example.org'],
  phones: ['+44 (0)20 7946 0958'],
};

describe('a text about an erased person', () => {
  it.each([
    ['Isolde van Zimmertal-Ó Broin came by.', '(erased) came by.'],
    ['ISOLDE VAN ZIMMERTAL-Ó BROIN', '(erased)'],
    ['Mrs Broin, with Isolde’s keys', 'Mrs (erased), with (erased)’s keys'],
    ['write to isolde.z@EXAMPLE.org.', 'write to (erased).'],
    ['ring 020 7946 0958 first', 'ring (erased) first'],
    ['ring +442079460958', 'ring (erased)'],
    ['ring 020-7946-0958', 'ring (erased)'],
  ])('%s', (text, left) => {
    expect(withoutPerson(text, person)).toBe(left);
  });

  it.each([
    'L-MAIN stiff, 2 washers of 3, pin 8.1 mm, part 20 7946 1111',
    'the broine and the van',
    'on 2026-03-14 at 10:30, 480 min',
    '',
  ])('keeps what was said of the work: %s', (text) => {
    expect(withoutPerson(text, person)).toBe(text);
  });

  it('takes a name for its letters, never for a pattern', () => {
    const odd = { names: ['A.* (B'], addresses: ['a+b@example.org'], phones: ['12', ''] };
    expect(withoutPerson('A.* (B wrote from a+b@example.org about 12', odd)).toBe(
      '(erased) wrote from (erased) about 12',
    );
    expect(withoutPerson('anything (B)', odd)).toBe('anything (B)');
  });
});
