import { describe, expect, test } from 'vitest';
import { parseStatus, statusText, statusWords } from '../../src/mail/enhanced-status.ts';

function wordsOf(text: string): string {
  const status = parseStatus(text);
  return status ? statusWords(status) : 'no status';
}

// RFC 3463 section 2 and RFC 3464 section 2.3.4: the form of a code.
describe('reading a code', () => {
  test.each([
    ['5.1.1', '5.1.1'],
    [' 4.4.7 ', '4.4.7'],
    ['2.1.5', '2.1.5'],
    ['5.7.515', '5.7.515'],
    ['5.0.0 (permanent failure)', '5.0.0'],
    ['5.1.1(nobody)', '5.1.1'],
    ['(no) 5.1.1', null],
    ['5.1', null],
    ['5.1.1.1', null],
    ['05.1.1', null],
    ['5.01.1', null],
    ['5.1.01', null],
    ['5.1000.1', null],
    ['3.1.1', null],
    ['5.1.x', null],
    ['', null],
  ])('%j is %j', (text, code) => {
    const status = parseStatus(text);
    expect(status && statusText(status)).toBe(code);
  });
});

// RFC 3463 section 2: an unknown detail is told by its subject, an unknown subject by its class.
describe('in plain words', () => {
  test.each([
    ['5.1.1', 'not delivered: no such mailbox at this domain'],
    ['5.1.99', 'not delivered: something is wrong with the address'],
    ['5.9.9', 'not delivered: no reason was given'],
    ['4.2.2', 'not delivered yet: the mailbox is full'],
    ['5.1.7', 'not delivered: the address of the sender is not written rightly'],
    ['4.1.8', 'not delivered yet: the domain of the sender is unknown, or takes no mail'],
    ['5.7.26', 'not delivered: the receiving mail system has a rule against it'],
    ['2.1.5', 'delivered'],
  ])('%s: %s', (text, words) => {
    expect(wordsOf(text)).toBe(words);
  });
});
