import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { tokenOf, verpAddress } from '../../src/mail/verp.ts';

test('a return path bears its token and gives it back', () => {
  expect(verpAddress('bounces@example.org', 'tok1')).toBe('bounces+tok1@example.org');
  expect(tokenOf('bounces+tok1@example.org')).toBe('tok1');
  expect(tokenOf(' <bounces+tok1@example.org> ')).toBe('tok1');
});

test.each(['bounces@example.org', 'a+b', '+tok@example.org', 'a+@example.org', 'a+b+c@d', '', '@'])(
  '%j bears none',
  (address) => {
    expect(tokenOf(address)).toBeNull();
  },
);

test('any token comes back, as long as it fits the 64 octets of RFC 5321 4.5.3.1.1', () => {
  fc.assert(
    fc.property(fc.stringMatching(/^[A-Za-z0-9_-]{1,56}$/), (token) => {
      expect(tokenOf(verpAddress('bounces@example.org', token))).toBe(token);
    }),
  );
  expect(() => verpAddress('bounces@example.org', 'x'.repeat(57))).toThrow(RangeError);
});

test.each([
  ['bounces', 'tok'],
  ['a@b@c', 'tok'],
  ['a+b@c', 'tok'],
  ['a@example.org', ''],
  ['a@example.org', 'a b'],
  ['a@example.org', 'a\r\nb'],
  ['a@example.org', 'a+b'],
])('%j with %j is refused', (base, token) => {
  expect(() => verpAddress(base, token)).toThrow(RangeError);
});
