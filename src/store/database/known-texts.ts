// A list of values makes a text of its own for every length; kept all, they would fill the memory.
const KEPT = 300;

/**
 * What was made of the text of a statement, kept for the next time: at most 300 texts, after which
 * all are forgotten and made anew.
 */
export class KnownTexts<T> {
  readonly #made = new Map<string, T>();
  readonly #make: (text: string) => T;

  constructor(make: (text: string) => T) {
    this.#make = make;
  }

  of(text: string): T {
    const known = this.#made.get(text);
    if (known !== undefined) return known;
    const made = this.#make(text);
    if (this.#made.size >= KEPT) this.#made.clear();
    this.#made.set(text, made);
    return made;
  }

  get size(): number {
    return this.#made.size;
  }
}
