import fc from 'fast-check';
import { MOVE_FINDINGS } from '../../src/domain/may-move/move-findings.ts';
import type { PivotState } from '../../src/domain/pivots/state.ts';
import { PIVOT_STATES } from '../../src/domain/pivots/state.ts';

const JOINTS = ['L-MAIN', 'R-MAIN', 'L-LINK1', 'R-KNUCKLE1'] as const;

interface Reading {
  readonly pivot: string;
  readonly state: PivotState;
  readonly oiled: boolean;
  readonly repaired: boolean;
  readonly axialPlayMm?: number | undefined;
}

export type Happening =
  | {
      readonly what: 'visit';
      readonly kind: string;
      readonly readings: readonly Reading[];
      readonly fault: string | null;
      readonly swayMm: number | null;
      /** Whether its owner gets a report of it. */
      readonly told: boolean;
    }
  | {
      readonly what: 'position';
      readonly position: string;
      readonly damp: boolean;
      readonly coverOn: boolean;
    }
  | { readonly what: 'booking'; readonly kind: string; readonly days: number }
  | { readonly what: 'oiling' }
  | { readonly what: 'days'; readonly days: number }
  | { readonly what: 'round' };

export interface History {
  readonly language: 'en' | 'de';
  readonly phone: string | null;
  readonly powered: boolean;
  readonly material: 'vinyl' | 'cloth';
  readonly window: string;
  readonly place: string;
  readonly salt: string;
  readonly fittedOn: string;
  readonly happenings: readonly Happening[];
}

const KINDS = ['lubrication', 'settling', 'look', 'repair'] as const;
const bad = fc.constantFrom<PivotState>('seized', 'sheared', 'oval');

const readingOf = (state: fc.Arbitrary<PivotState>): fc.Arbitrary<Reading> =>
  fc.record({
    pivot: fc.constantFrom(...JOINTS),
    state,
    oiled: fc.boolean(),
    repaired: fc.oneof({ weight: 5, arbitrary: fc.constant(false) }, fc.boolean()),
    axialPlayMm: fc.option(fc.constantFrom(0.1, 0.4, 0.7, 1.2), { nil: undefined }),
  });

const visitOf = (readings: fc.Arbitrary<Reading>, least: number): fc.Arbitrary<Happening> =>
  fc.record({
    what: fc.constant('visit' as const),
    kind: fc.constantFrom(...KINDS),
    readings: fc.uniqueArray(readings, {
      selector: ({ pivot }) => pivot,
      minLength: least,
      maxLength: 3,
    }),
    fault: fc.option(fc.constantFrom(...Object.keys(MOVE_FINDINGS)), { nil: null, freq: 4 }),
    swayMm: fc.option(fc.constantFrom(4, 12, 20), { nil: null, freq: 4 }),
    told: fc.boolean(),
  });

const happening: fc.Arbitrary<Happening> = fc.oneof(
  { weight: 2, arbitrary: visitOf(readingOf(fc.constantFrom(...PIVOT_STATES)), 0) },
  { weight: 3, arbitrary: visitOf(readingOf(bad), 1) },
  {
    weight: 4,
    arbitrary: fc.record({
      what: fc.constant('position' as const),
      position: fc.constantFrom('raised', 'folded', 'folded', 'folded-under-hard-top'),
      damp: fc.boolean(),
      coverOn: fc.boolean(),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      what: fc.constant('booking' as const),
      kind: fc.constantFrom(...KINDS),
      days: fc.integer({ min: 4, max: 60 }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ what: fc.constant('oiling' as const) }) },
  {
    weight: 4,
    arbitrary: fc.record({
      what: fc.constant('days' as const),
      days: fc.integer({ min: 1, max: 45 }),
    }),
  },
  { weight: 4, arbitrary: fc.record({ what: fc.constant('round' as const) }) },
);

/** What may come of a car and its top in a year or two, bad joints more often than in life. */
export const histories: fc.Arbitrary<History> = fc.record({
  language: fc.constantFrom('en', 'de'),
  phone: fc.constantFrom('01632 960 001', null),
  powered: fc.boolean(),
  material: fc.constantFrom('vinyl', 'cloth'),
  window: fc.constantFrom('glass', 'glass-bonded', 'clear-vinyl'),
  place: fc.constantFrom('heated-garage', 'damp-garage', 'street', 'outdoors'),
  salt: fc.constantFrom('none', 'winter-roads', 'sea-front'),
  fittedOn: fc.constantFrom('2025-06-10', '2026-05-25', '2024-03-01'),
  happenings: fc.array(happening, { minLength: 4, maxLength: 14 }),
});

/**
 * The joints that a reader of the record knows to be seized, sheared or oval, told in the plainest way:
 * the last word about each since its repair. It knows nothing of the rule that is tried with it.
 */
export class BadJoints {
  readonly #last = new Map<string, PivotState>();

  visit(kind: string, readings: readonly Reading[]): void {
    if (kind === 'repair' && readings.length === 0) this.#last.clear();
    for (const { pivot, state, repaired } of readings) {
      const before = this.#last.get(pivot);
      const broken = before === 'sheared' || before === 'oval';
      if (repaired) this.#last.delete(pivot);
      else if (broken && kind === 'lubrication' && state !== 'seized' && state !== 'sheared')
        continue;
      else this.#last.set(pivot, state);
    }
  }

  get any(): boolean {
    return [...this.#last.values()].some((state) => ['seized', 'sheared', 'oval'].includes(state));
  }
}
