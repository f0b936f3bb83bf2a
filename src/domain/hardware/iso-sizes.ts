import type { Mark } from '../figures/figure.ts';

/** Metric coarse threads that soft-top frames use. */
export const THREADS = ['M5', 'M6', 'M8', 'M10', 'M12'] as const;
export type Thread = (typeof THREADS)[number];

/** A table of millimetres with its source. */
export interface SizeTable<Row> {
  readonly unit: 'mm';
  readonly mark: Mark;
  readonly source: string;
  readonly rows: Readonly<Record<Thread, Row>>;
}

/** Diameter of the pin or bolt: the number in the name of the thread, by definition. */
export const NOMINAL_MM: Readonly<Record<Thread, number>> = {
  M5: 5,
  M6: 6,
  M8: 8,
  M10: 10,
  M12: 12,
};

export interface ClearanceHole {
  readonly fine: number;
  readonly medium: number;
  readonly coarse: number;
}

export const CLEARANCE_HOLES: SizeTable<ClearanceHole> = {
  unit: 'mm',
  mark: 'published, secondary copy',
  source: 'ISO 273, clearance holes: fine H12, medium H13, coarse H14',
  rows: {
    M5: { fine: 5.3, medium: 5.5, coarse: 5.8 },
    M6: { fine: 6.4, medium: 6.6, coarse: 7 },
    M8: { fine: 8.4, medium: 9, coarse: 10 },
    M10: { fine: 10.5, medium: 11, coarse: 12 },
    M12: { fine: 13, medium: 13.5, coarse: 14.5 },
  },
};

export interface PlainWasher {
  readonly inside: number;
  readonly outside: number;
  readonly thickness: number;
}

export const PLAIN_WASHERS: SizeTable<PlainWasher> = {
  unit: 'mm',
  mark: 'published, secondary copy',
  source: 'ISO 7089, plain washers, normal series',
  rows: {
    M5: { inside: 5.3, outside: 10, thickness: 1 },
    M6: { inside: 6.4, outside: 12, thickness: 1.6 },
    M8: { inside: 8.4, outside: 16, thickness: 1.6 },
    M10: { inside: 10.5, outside: 20, thickness: 2 },
    M12: { inside: 13, outside: 24, thickness: 2.5 },
  },
};

export interface Hexagon {
  /** Spanner size of the ISO series. */
  readonly acrossFlats: number;
  /** Spanner size of older parts where it differs, as on many cars that are still about. */
  readonly olderAcrossFlats?: number;
}

export const HEXAGONS: SizeTable<Hexagon> = {
  unit: 'mm',
  mark: 'published, secondary copy',
  source: 'ISO 4014, 4017 and 4032, width across flats; older sizes from older tables',
  rows: {
    M5: { acrossFlats: 8 },
    M6: { acrossFlats: 10 },
    M8: { acrossFlats: 13 },
    M10: { acrossFlats: 16, olderAcrossFlats: 17 },
    M12: { acrossFlats: 18, olderAcrossFlats: 19 },
  },
};

/** Whether the text names a thread of the tables. */
export function isThread(text: string): text is Thread {
  return THREADS.some((thread) => thread === text);
}
