import type { Day } from '../calendar/day.ts';
import { daysBetween } from '../calendar/day.ts';
import type { PivotRecord } from '../pivots/series.ts';
import { RUINED_STATES } from '../pivots/state.ts';
import { washersMissing } from '../pivots/washers.ts';
import type { CallValues } from './call-figures.ts';

/** Causes whose outcome is seen at the next visit to the joint. */
export const CALIBRATED = ['dry', 'stiff', 'loose', 'repaired', 'washerMissing'] as const;
export type Calibrated = (typeof CALIBRATED)[number];

/** Chances in eight weeks that take the place of the shop rule. */
export type Calibration = Partial<Readonly<Record<Calibrated, number>>>;

/** What an organisation's own records say of one cause. */
export interface Outcomes {
  readonly cause: Calibrated;
  /** Spans of eight weeks that joints stood with it until they were read again. */
  readonly spans: number;
  /** How often the joint was then found seized, sheared or oval. */
  readonly seen: number;
  readonly shopRule: number;
  /** The chance that is reckoned with: the shop rule, or with enough of its own the two together. */
  readonly used: number;
  readonly isOwn: boolean;
  /** 90 % interval of the chance by what was seen and the shop rule together. */
  readonly words: string;
}

type Read = PivotRecord & { readonly oiledOn: readonly Day[] };

const SPAN_DAYS = 56;

/** What some joints say of each cause, from which with those of the others the outcomes follow. */
export type Tally = ReadonlyMap<Calibrated, { readonly spans: number; readonly seen: number }>;

/** The spans and outcomes of some joints alone, for whoever goes through many in portions. */
export function tallyOf(records: readonly Read[]): Tally {
  const tally = new Map(CALIBRATED.map((cause) => [cause, { spans: 0, seen: 0 }]));
  for (const record of records) {
    const states = [...record.states].sort((a, b) => (a.doneOn < b.doneOn ? -1 : 1));
    for (const [i, before] of states.entries()) {
      const next = states[i + 1];
      if (next === undefined || next.doneOn === before.doneOn) continue;
      const spans = daysBetween(before.doneOn, next.doneOn) / SPAN_DAYS;
      for (const cause of standingFrom(record, before, next.doneOn)) {
        const own = tally.get(cause);
        if (own === undefined) continue;
        own.spans += spans;
        own.seen += RUINED_STATES.has(next.state) ? 1 : 0;
      }
    }
  }
  return tally;
}

/**
 * How joints that stood dry, stiff, loose, short of a washer or freshly repaired were found at their next visit, and the
 * chance in eight weeks that follows. A Beta prior has the shop rule as its mean and `priorSpans` as its
 * weight; each span of eight weeks is a trial. Below `enoughSpans` the shop rule stays. A joint that was
 * repaired or oiled meanwhile starts afresh: what was cured is no trial, and what was repaired at the first
 * look is one of a repair.
 */
export function outcomesOf(tallies: readonly Tally[], values: CallValues): Outcomes[] {
  return CALIBRATED.map((cause) => {
    const all = { spans: 0, seen: 0 };
    for (const tally of tallies) {
      all.spans += tally.get(cause)?.spans ?? 0;
      all.seen += tally.get(cause)?.seen ?? 0;
    }
    return outcome(cause, all, values);
  });
}

/** The causes with which a joint stood from one look until the next. */
function standingFrom(
  record: Read,
  before: Read['states'][number],
  until: Day,
): readonly Calibrated[] {
  const { doneOn: from } = before;
  const within = (days: readonly Day[]) => days.some((day) => day > from && day < until);
  if (within(record.repairs)) return [];
  if (record.repairs.includes(from)) return ['repaired'];
  const oiled = record.oiledOn.includes(from) || within(record.oiledOn);
  return before.state === 'dry' && oiled ? [] : causesAt(record, before);
}

function causesAt(
  record: PivotRecord,
  { doneOn, state }: PivotRecord['states'][number],
): Calibrated[] {
  const word = state === 'dry' || state === 'stiff' || state === 'loose' ? [state] : [];
  const counted = record.washers.find((washers) => washers.doneOn === doneOn);
  const { washersExpected } = record;
  const missing =
    counted === undefined
      ? 0
      : washersMissing({ washersPresent: counted.present, washersExpected });
  return missing > 0 ? [...word, 'washerMissing'] : word;
}

function outcome(
  cause: Calibrated,
  { spans, seen }: { readonly spans: number; readonly seen: number },
  values: CallValues,
): Outcomes {
  const shopRule = values[cause];
  const isOwn = spans >= values.enoughSpans;
  const used = isOwn
    ? (values.priorSpans * shopRule + seen) / (values.priorSpans + spans)
    : shopRule;
  const percent = (share: number) => `${(share * 100).toFixed(1)} %`;
  const own = `yours ${seen} in ${Math.round(spans)} spans of eight weeks`;
  const words = isOwn
    ? `shop rule ${percent(shopRule)}; ${own}: ${percent(used)}`
    : `shop rule ${percent(shopRule)}; ${own}, too few to weigh`;
  return { cause, spans, seen, shopRule, used, isOwn, words };
}

/** The chances that an organisation's own outcomes put in place of shop rules. */
export function calibrationOf(outcomes: readonly Outcomes[]): Calibration {
  return Object.fromEntries(
    outcomes.filter(({ isOwn }) => isOwn).map(({ cause, used }) => [cause, used]),
  );
}
