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
