/** How an owner is spoken to: by telephone, or in writing where no number is noted. */
export const WAYS = ['ring', 'write'] as const;
export type Way = (typeof WAYS)[number];

// What has fewer digits than an emergency number can be dialled nowhere.
const FEWEST_DIGITS = 3;

/** What is dialled of a number as it is noted; null where it is none. */
export function dialled(phone: string | null): string | null {
  const digits = phone?.replaceAll(/[^\d+]/g, '') ?? '';
  return digits.length < FEWEST_DIGITS ? null : digits;
}

/** The way to an owner of whom this number is noted. */
export function wayTo(phone: string | null): Way {
  return dialled(phone) === null ? 'write' : 'ring';
}

/** What a call would say, as it is said in a way: "ring: ask to raise it", "write: ask to raise it". */
export function saidBy(words: string, way: Way): string {
  return words.replace(/^ring:/, `${way}:`);
}
