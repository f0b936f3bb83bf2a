/** By what a person can be told from others in free text. */
export interface Person {
  readonly names: readonly string[];
  readonly addresses: readonly string[];
  readonly phones: readonly string[];
}

const GONE = '(erased)';

// Two letters are an initial or a particle; they would take half of any text with them.
const SHORTEST_NAME = 3;
// So many digits from the right are the same however the code of the country is written.
const TELLING_DIGITS = 7;
const FEWEST_DIGITS = 5;
const LOOKS_LIKE_A_NUMBER = /[+(]?\d[\d\s().\-/]{3,}\d/g;

/**
 * A text without whatever names a person: the addresses, the whole names in any case, each word of a
 * name as it is written, and telephone numbers however they are spaced. What was said of the work
 * stays.
 */
export function withoutPerson(text: string, { names, addresses, phones }: Person): string {
  const whole = [...addresses, ...names].map((one) => one.trim()).filter((one) => one !== '');
  const words = names.flatMap(wordsOfName);
  let left = text;
  for (const one of longestFirst(whole)) left = left.replace(asWord(one, 'giu'), GONE);
  for (const word of longestFirst(words)) left = left.replace(asWord(word, 'gu'), GONE);
  const numbers = phones.map(digitsOf).filter((digits) => digits.length >= FEWEST_DIGITS);
  return left.replace(LOOKS_LIKE_A_NUMBER, (run) => {
    const digits = digitsOf(run);
    return numbers.some((number) => digits.includes(number.slice(-TELLING_DIGITS))) ? GONE : run;
  });
}

/** The words that name somebody: a "van" between them is found in any text, so it is left alone. */
function wordsOfName(name: string): string[] {
  const isWritten = name !== name.toLowerCase();
  return name
    .split(/[\s.,]+/)
    .filter((word) => word.length >= SHORTEST_NAME && !(isWritten && /^\p{Ll}/u.test(word)));
}

function longestFirst(texts: readonly string[]): string[] {
  return [...new Set(texts)].sort((a, b) => b.length - a.length);
}

function asWord(text: string, flags: string): RegExp {
  const literal = text.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&');
  return new RegExp(`(?<![\\p{L}\\p{N}])${literal}(?![\\p{L}\\p{N}])`, flags);
}

function digitsOf(text: string): string {
  return text.replace(/\D/g, '');
}
