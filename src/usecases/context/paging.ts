import { isDay } from '../../domain/calendar/day.ts';
import { parseInstant } from '../../domain/calendar/instant.ts';
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

/**
 * What the parts of a list's keys hold, by kind. An id is any text that may name a record: an imported
 * one keeps the id that it had elsewhere.
 */
const PARTS = {
  id: (part: string) => part.length <= 64,
  day: isDay,
  instant: (part: string) => parseInstant(part) === part,
  number: (part: string) => Number.isFinite(Number(part)) && String(Number(part)) === part,
  word: (part: string) => part.length < 200,
} as const;
type CursorPart = keyof typeof PARTS;

/** The parts of a cursor of a list with such keys; refused when it is anything else. */
export function partsOfCursor(
  after: string | undefined,
  kinds: readonly CursorPart[],
): string[] | null {
  if (after === undefined) return null;
  try {
    const parts: unknown = JSON.parse(Buffer.from(after, 'base64url').toString('utf8'));
    if (
      Array.isArray(parts) &&
      parts.length === kinds.length &&
      parts.every(isPart) &&
      kinds.every((kind, i) => PARTS[kind](parts[i] ?? '')) &&
      cursorWith(parts) === after
    ) {
      return parts;
    }
  } catch {
    // Falls through to the refusal.
  }
  throw invalid('after', 'Use the "next" of the page before, unchanged.');
}

// oxlint-disable-next-line no-control-regex -- control characters are exactly what is refused
const CONTROL = /[\u0000-\u001f\u007f]/;

/** Lists go on behind a row, so none gives out a part without a sign. */
function isPart(part: unknown): part is string {
  return typeof part === 'string' && part.trim() !== '' && !CONTROL.test(part);
}
