/** Numbers that look like chance and are the same every time for the same name. */
export interface Chance {
  /** From 0 up to but not including 1. */
  next(): number;
  /** A whole number from `low` to `high`, both included. */
  whole(low: number, high: number): number;
  between(low: number, high: number): number;
  /** The error of a method that repeats to `repeatability`: small errors more often than large. */
  error(repeatability: number): number;
  oneOf<T>(choices: readonly [T, ...T[]]): T;
}

/**
 * Chance from a name: equal names give equal numbers, on every machine and for ever. The generator
 * is mulberry32, a 32-bit counter whose steps are mixed by multiplication; good enough for a demo,
 * useless for secrets.
 */
export function chanceOf(name: string): Chance {
  let state = seedOf(name);
  const next = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const whole = (low: number, high: number) => low + Math.floor(next() * (high - low + 1));
  return {
    next,
    whole,
    between: (low, high) => low + next() * (high - low),
    error: (repeatability) => (next() - next()) * repeatability,
    oneOf: (choices) => choices[whole(0, choices.length - 1)] ?? choices[0],
  };
}

/** FNV-1a over the UTF-16 units of a name. */
function seedOf(name: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < name.length; i += 1) {
    hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193);
  }
  return hash;
}
