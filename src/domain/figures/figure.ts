/**
 * Where a number comes from. A "shop rule" was published by nobody: it is a default that an
 * organisation can change, and it is shown as "shop rule" wherever it decides something.
 */
export const MARKS = [
  'published',
  'published, secondary copy',
  'common practice, no source',
  'from memory',
  'shop rule',
] as const;
export type Mark = (typeof MARKS)[number];

/**
 * Whether a reader can find a source by what it says of itself: a standard or an RFC by its number, a
 * paper by author and year, a file of an open database by its name. "A car handbook" is not enough.
 */
export function isFindable(source: string): boolean {
  return /\b(?:ISO|IEC|EN|DIN|BS|ASTM|SAE|RFC|NIST SP)[ -]?\d|\b10\.\d{4,}\/|\b[A-Z][a-z]+ (?:and|&) [A-Z][a-z]+,? \(?(?:19|20)\d\d|\b[A-Z][a-z]+,? \((?:19|20)\d\d\)|\bzone\.tab\b|\b(?:HSE|OSHA|EH40|CLP)\b/.test(
    source,
  );
}

/** What is wrong with the mark of a number or a sentence of the trade, in words; null if nothing. */
export function markProblem({
  mark,
  source,
}: {
  readonly mark: string;
  readonly source: string;
}): string | null {
  if (!(MARKS as readonly string[]).includes(mark)) return `there is no mark "${mark}"`;
  if (source.trim().length < 5) return 'a source, or a reason where there is none, must be said';
  const published = mark.startsWith('published');
  return published && !isFindable(source) ? `nobody can find "${source}"` : null;
}

/** One number of the trade with its unit, its mark and its source in words. */
export interface Figure {
  readonly value: number;
  readonly unit: string;
  readonly mark: Mark;
  readonly source: string;
  /** Bounds inside which an organisation may set a shop rule (inclusive). Only shop rules have them. */
  readonly min?: number;
  readonly max?: number;
}

/** A readonly table of figures under the names that rules use for them. */
export type FigureTable<K extends string = string> = Readonly<Record<K, Figure>>;

/** The bare numbers of a table, as the rules take them. */
export type FigureValues<T extends FigureTable> = { readonly [K in keyof T]: number };

/**
 * The numbers of a table, with an organisation's own values in place of its shop rules. Names that
 * the table lacks, and figures that are not shop rules, are left as published.
 */
export function valuesOf<const T extends FigureTable>(
  table: T,
  own: Readonly<Record<string, number>> = {},
): FigureValues<T> {
  const values: Record<string, number> = {};
  for (const [name, figure] of Object.entries(table)) {
    const chosen = own[name];
    values[name] = figure.mark === 'shop rule' && chosen !== undefined ? chosen : figure.value;
  }
  return values as FigureValues<T>;
}
