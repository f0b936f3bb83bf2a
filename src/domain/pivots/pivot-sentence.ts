import { daysBetween, monthOf, yearOf } from '../calendar/day.ts';
import type { Day } from '../calendar/day.ts';
import { pivotInWords } from './frame-patterns.ts';
import type { Limits, Projection, SeriesReport } from './projection.ts';
import type { Sign } from './signs.ts';
import type { Verdict } from './state.ts';

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];
const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
/** Older readings than these are in the list; a sentence is for reading aloud. */
const SPOKEN = 5;

export interface SentenceInput {
  readonly code: string;
  readonly verdict: Verdict;
  /** The worst first. */
  readonly signs: readonly Sign[];
  readonly lead: SeriesReport | null;
  readonly limits: Limits | null;
  readonly measureAgainMonths: number | null;
  readonly measureAgainOn: Day | null;
  readonly repairedOn: Day | null;
  readonly today: Day;
}

/**
 * The report of a pivot in one sentence: what was found, where it leads, and what to do; where no
 * day can be named, what is missing.
 */
export function pivotSentence(input: SentenceInput): string {
  const { code, lead, limits, signs, repairedOn, today } = input;
  const parts = signs
    .filter(({ from, verdict }) => (from === 'state' || from === 'washers') && verdict !== 'good')
    .map(({ because }) => because);
  if (lead !== null && limits !== null) {
    parts.push(readingsInWords(lead), whereTo(lead, limits, today));
  } else {
    const since = repairedOn === null ? '' : ` since the repair on ${repairedOn}`;
    parts.push(`play not measured${since}`);
  }
  return `${pivotInWords(code)}: ${parts.join('; ')}: ${whatToDo(input)}`;
}

function readingsInWords({ method, readings }: SeriesReport): string {
  const named = readings.slice(-SPOKEN).map(({ mm }) => mm.toFixed(2));
  const list = `${readings.length > SPOKEN ? '… ' : ''}${named.join(', ')} mm ${method}`;
  const first = readings[0];
  const last = readings.at(-1);
  if (!first || !last || first.doneOn === last.doneOn) return list;
  return `${list} in ${spanInWords(daysBetween(first.doneOn, last.doneOn))}`;
}

function spanInWords(days: number): string {
  const months = Math.round(days / 30.44);
  if (days < 45) return `${days} ${days === 1 ? 'day' : 'days'}`;
  if (months < 18 && months !== 12) return `${months} months`;
  const years = Math.round(months / 12);
  return `${NUMBERS[years] ?? years} ${years === 1 ? 'year' : 'years'}`;
}

function whereTo(lead: SeriesReport, limits: Limits, today: Day): string {
  const last = lead.readings.at(-1)?.mm ?? 0;
  const { planOver, actOver } = limits;
  if (last > actOver) return `over ${actOver} mm`;
  const over = planOver !== null && last > planOver ? `over ${planOver} mm, ` : '';
  if (lead.missing !== null) return `${over}no day named: ${lead.missing}`;
  const limit = over ? actOver : (planOver ?? actOver);
  const on = lead.planOn ?? lead.actOn;
  return on
    ? `${over}${reaches(limit, on, today)} (${drawnFrom(lead)})`
    : `${over}${limit} mm too far off to name a day`;
}

/**
 * When a limit is reached, in words: "reaches 0.5 mm about May 2026, between March 2026 and June 2027". What
 * may be met unseen by today is said to be so, not to begin now.
 */
export function reaches(
  limit: number,
  { likely, earliest, latest }: Projection,
  today: Day,
): string {
  if (likely <= today) return `should have reached ${limit} mm by now`;
  const about = `reaches ${limit} mm about ${monthInWords(likely)}`;
  if (earliest <= today) {
    const end = latest === null ? 'no end known' : `or not until ${monthInWords(latest)}`;
    return `${about}, though it may have met it already, ${end}`;
  }
  const from = monthInWords(earliest);
  return latest === null
    ? `${about}, not before ${from}, no end known`
    : `${about}, between ${from} and ${monthInWords(latest)}`;
}

/** What a day rests on, in words: the readings of the joint itself, and what was pooled with them. */
export function drawnFrom({ readings, pooled }: Pick<SeriesReport, 'readings' | 'pooled'>): string {
  const here = `from ${readings.length} readings here`;
  if (pooled === 0) return `${here} and the shop rule for wear`;
  return `${here} and ${pooled} ${pooled === 1 ? 'joint' : 'joints'} of this kind and pattern on other cars`;
}

function monthInWords(day: Day): string {
  return `${MONTHS[monthOf(day) - 1]} ${yearOf(day)}`;
}

function whatToDo(input: SentenceInput): string {
  const { verdict, measureAgainMonths: months, measureAgainOn: on, signs } = input;
  if (verdict === 'act') return 'repair it before the top is folded or raised again';
  if (verdict === 'plan') {
    const worst = signs[0];
    return worst?.from === 'reading' ? 'book new washers or a bush' : 'book the work';
  }
  if (months === null || months === 0) return 'measure now';
  const by = on === null ? '' : `, by ${dayInWords(on)}`;
  const span = `${months} ${months === 1 ? 'month' : 'months'}${by}`;
  return input.lead === null ? `measure it within ${span}` : `measure again in ${span}`;
}

function dayInWords(day: Day): string {
  return `${Number(day.slice(8))} ${MONTHS[monthOf(day) - 1]} ${yearOf(day)}`;
}
