import { invalid } from '../../domain/refusal.ts';

/** One page of a list, in the order of its cursor. */
export interface Page<Item> {
  readonly items: Item[];
  /** Hand this in as `after` for the following page; null at the end. */
  readonly next: string | null;
}

export interface PageRequest {
  readonly limit: number;
  readonly after?: string | undefined;
}

/** Cuts a list that was fetched with one row more than asked for. */
export function pageOf<Row, Item>(
  rows: readonly Row[],
  limit: number,
  itemOf: (row: Row) => Item,
  cursorOf: (row: Row) => readonly string[],
): Page<Item> {
  const shown = rows.slice(0, limit);
  const last = shown.at(-1);
  const more = rows.length > limit && last !== undefined;
  return { items: shown.map(itemOf), next: more ? cursorWith(cursorOf(last)) : null };
}

/** What `partsOfCursor` reads again. */
export function cursorWith(parts: readonly string[]): string {
  return Buffer.from(JSON.stringify(parts)).toString('base64url');
}

/** The parts of a cursor that this server gave out; refused when it is anything else. */
export function partsOfCursor(after: string | undefined, count: number): string[] | null {
  if (after === undefined) return null;
  try {
    const parts: unknown = JSON.parse(Buffer.from(after, 'base64url').toString('utf8'));
    if (
      Array.isArray(parts) &&
      parts.length === count &&
      parts.every(isPart) &&
      cursorWith(parts) === after
    ) {
      return parts;
    }
  } catch {
    // Falls through to the refusal.
  }
  throw invalid('after', 'Use the "next" of the page before, unchanged.');
}

/** Lists go on behind a row, so none gives out a part without a sign. */
function isPart(part: unknown): part is string {
  return typeof part === 'string' && part !== '' && part.length < 200 && !part.includes('\0');
}
