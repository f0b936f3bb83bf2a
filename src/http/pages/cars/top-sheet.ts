import { voiceFor } from '../../../views/words/voice.ts';
import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import type { LookDue } from '../../../domain/lubrication/look-again.ts';
import type { PatternPivot, Side } from '../../../domain/pivots/frame-patterns.ts';
import type { Verdict } from '../../../domain/pivots/state.ts';
import { cautionsFor } from '../../../domain/cautions/cautions.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { Method } from '../../../domain/pivots/series.ts';
import { type JointPlot, jointPlot, type JointReadings } from './joint-plot.ts';
import { type MapSide, pivotMap, type Shown } from '../../../views/pivot-map.ts';
import { KEEP_SCRIPT } from '../frame/script.ts';
import { type PhotoModel, photoModel } from '../photos/photo-model.ts';
import type { Frame } from '../frame/frame.ts';

interface Reading {
  readonly doneOn: Day;
  readonly state: string;
  readonly oiled: boolean;
  readonly repaired: boolean;
  readonly lubricant: string | null;
  readonly washersPresent: number | null;
  readonly axialPlayMm: number | null;
  readonly radialPlayMm: number | null;
}

/** A booked visit as the pages of a top name it. */
export interface BookedFacts {
  readonly id: string;
  readonly kind: string;
  readonly plannedOn: Day | null;
}

/** What led to the page and who looks at it. */
export interface Looking {
  readonly done: string | undefined;
  /** Whether whoever looks may record something. */
  readonly records: boolean;
}

export interface TopFacts {
  /** The newest photos of the car. */
  readonly photos: readonly PhotoRecord[];
  readonly top: {
    readonly id: string;
    readonly fittedOn: Day;
    readonly retiredOn: Day | null;
    readonly framePattern: string;
    readonly mayMove: MayMove;
    readonly cover: { readonly material: string };
    readonly window: string;
    readonly powered: boolean;
    readonly warranties: readonly { readonly part: string; readonly endsOn: Day }[];
    readonly lubrication: LubricationDue & { readonly because: readonly string[] };
    readonly look: LookDue | null;
  };
  readonly car: { readonly id: string; readonly registration: string };
  readonly pivots: {
    readonly on: Day;
    readonly verdict: Verdict;
    readonly items: readonly {
      readonly code: string;
      readonly side: Side;
      readonly kind: string;
      readonly washersExpected: number;
      readonly lastReading: Reading | null;
      readonly verdict: Verdict;
      readonly sentence: string;
      readonly method: Method | null;
      readonly series: readonly {
        readonly doneOn: Day;
        readonly method: Method;
        readonly mm: number;
      }[];
      readonly trend:
        | (JointReadings['line'] & { readonly method: Method; readonly slope: number })
        | null;
      readonly limits: JointReadings['limits'] | null;
      readonly planOn: JointReadings['planOn'];
      readonly actOn: JointReadings['actOn'];
    }[];
    readonly frame: {
      readonly verdict: Verdict | null;
      readonly because: readonly string[];
      readonly missing: readonly string[];
    };
  };
  readonly pattern: readonly PatternPivot[];
  readonly booked: readonly BookedFacts[];
}

export interface TopModel extends ShopStay {
  readonly photos: readonly PhotoModel[];
  readonly photosHref: string;
  /** What was just recorded; empty where nothing was. */
  readonly done: string;
  /** Where something about the top can be recorded; null for whoever may only read. */
  readonly records: {
    readonly oiling: string;
    readonly change: string;
    readonly sheet: string;
    readonly visit: string;
    readonly faults: string;
    readonly work: string;
    readonly booking: string | null;
  } | null;
  readonly booked: readonly { readonly href: string | null; readonly words: string }[];
  /** Where the repair of what was found is booked; null where none is called for, or it is booked. */
  readonly repair: string | null;
  readonly registration: string;
  readonly carHref: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly because: readonly string[];
  readonly verdict: Verdict;
  readonly on: string;
  readonly map: readonly MapSide[];
  readonly legend: readonly { readonly verdict: Shown; readonly words: string }[];
  readonly pivots: readonly {
    readonly number: number;
    readonly code: string;
    readonly verdict: Shown;
    readonly cells: readonly string[];
    readonly sentence: string;
    readonly chart: JointChart | null;
  }[];
  readonly frame: readonly string[];
  /** Null where nothing was measured. */
  readonly frameVerdict: Verdict | null;
  readonly frameMissing: readonly string[];
  readonly cautions: readonly string[];
}

const EN = localeOf('en-GB');
const LEGEND: Readonly<Record<Shown, string>> = {
  unread: 'nothing is known of it yet',
  good: 'oil at its next visit',
  watch: 'look closely next time',
  plan: 'book the work',
  act: 'do not fold or raise it until it is done',
};

/** A top with the map of its pivots, their last readings and what these say. */
export function topSheet(record: TopFacts, looking: Looking): [Frame, TopModel] {
  const { top, car, pattern } = record;
  const own = `/tops/${top.id}`;
  const pivots = { ...record.pivots, items: record.pivots.items.map(asShown) };
  const { first, cautions } = cautionsFor('frame');
  const model: TopModel = {
    ...shopStay(car.registration, top.mayMove, voiceFor('en')),
    photos: record.photos.map(photoModel),
    photosHref: `/cars/${car.id}/photos`,
    done: DONE[looking.done ?? ''] ?? '',
    records: looking.records
      ? {
          oiling: `${own}/visit`,
          visit: `${own}/visit?kind=look`,
          faults: `/cars/${car.id}/fault-finding`,
          work: `/cars/${car.id}/work`,
          change: `${own}/change`,
          sheet: `${own}/bench-sheet`,
          booking: top.retiredOn === null ? `${own}/booking` : null,
        }
      : null,
    booked: record.booked.map((visit) => ({
      href: looking.records ? `/visits/${visit.id}` : null,
      words: bookedInWords(visit),
    })),
    repair: looking.records ? repairHref(record, pivots.items) : null,
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    facts: topFacts(top),
    because: top.lubrication.because,
    verdict: pivots.verdict,
    on: EN.day(pivots.on),
    map: pivotMap(pivots.items, pattern),
    legend: Object.entries(LEGEND).map(([verdict, words]) => ({
      verdict: verdict as Shown,
      words,
    })),
    pivots: pivots.items.map((pivot, i) => ({
      number: i + 1,
      code: pivot.code,
      verdict: pivot.verdict,
      cells: cellsOf(pivot),
      sentence: pivot.sentence,
      chart: chartOf(pivot),
    })),
    frame: pivots.frame.because,
    frameVerdict: pivots.frame.verdict,
    frameMissing: pivots.frame.missing,
    cautions: [first.en, ...cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)],
  };
  const script = KEEP_SCRIPT.address;
  return [{ lang: 'en', title: 'A top and its pivots', script, nav: { here: 'tops' } }, model];
}

/** Joints that want work lead to its booking from where they are told of. */
function repairHref(
  { top, booked, pivots }: TopFacts,
  shown: readonly { readonly verdict: Shown }[],
): string | null {
  const wanted = [...shown, { verdict: pivots.frame.verdict }].some(
    ({ verdict }) => verdict === 'plan' || verdict === 'act',
  );
  const isBooked = booked.some(({ kind }) => kind === 'repair');
  return wanted && !isBooked && top.retiredOn === null
    ? `/tops/${top.id}/booking?kind=repair`
    : null;
}

/** The readings of a joint as a drawing, with the table behind it. */
interface JointChart {
  readonly plot: JointPlot;
  readonly label: string;
  readonly caption: string;
  readonly rows: readonly { readonly day: string; readonly mm: string }[];
  readonly days: readonly { readonly limit: string; readonly words: string }[];
}

/** Null where there are not two readings to draw. */
function chartOf(pivot: TopFacts['pivots']['items'][number]): JointChart | null {
  const { method, limits, planOn, actOn, trend, sentence } = pivot;
  const readings = pivot.series.filter((reading) => reading.method === method);
  if (limits === null || method === null || readings.length < 2) return null;
  const days = [
    { limit: limits.planOver, on: planOn },
    { limit: limits.actOver, on: actOn },
  ].flatMap(({ limit, on }) =>
    limit === null || on === null ? [] : [{ limit: `${limit} mm`, words: betweenDays(on) }],
  );
  return {
    plot: jointPlot({ readings, line: trend, limits, planOn, actOn }),
    label: `Play by day. ${sentence}`,
    caption: `${pivot.code}: ${method} play since the last repair`,
    rows: readings.map(({ doneOn, mm }) => ({ day: EN.day(doneOn), mm: mm.toFixed(2) })),
    days,
  };
}

function betweenDays({ earliest, likely, latest }: NonNullable<JointReadings['planOn']>): string {
  const end = latest === null ? 'no end known' : `to ${EN.day(latest)}`;
  return `about ${EN.day(likely)}; from ${EN.day(earliest)} ${end}`;
}

const DONE: Readonly<Record<string, string>> = {
  visit: 'The visit is recorded.',
  missed: 'Noted: nobody came.',
  cancelled: 'The visit is called off. Its owner gets a letter, where letters may be written.',
  booked: 'The visit is booked. Its owner gets a letter, where letters may be written.',
  moved: 'The visit is moved. Its owner gets a letter, where letters may be written.',
  fitted: 'The new top is recorded.',
  changed: 'The top is put right. Letters that became untrue are not sent any more.',
};

/** "lubrication on 17 June 2026". */
export function bookedInWords({ kind, plannedOn }: BookedFacts): string {
  return plannedOn === null ? `${kind}, no day yet` : `${kind} on ${EN.day(plannedOn)}`;
}

function asShown<P extends TopFacts['pivots']['items'][number]>(pivot: P) {
  const verdict: Shown = pivot.lastReading === null ? 'unread' : pivot.verdict;
  return { ...pivot, verdict };
}

function topFacts(top: TopFacts['top']): TopModel['facts'] {
  const { lubrication } = top;
  return [
    { label: 'Fitted', value: EN.day(top.fittedOn) },
    ...(top.retiredOn === null ? [] : [{ label: 'Retired', value: EN.day(top.retiredOn) }]),
    {
      label: 'Top',
      value: `${top.cover.material}, ${top.window.replaceAll('-', ' ')} window, ${top.powered ? 'powered' : 'folded by hand'}`,
    },
    { label: 'Frame', value: top.framePattern },
    {
      label: 'Oil',
      value: `due on ${EN.day(lubrication.dueOn)}, ${voiceFor('en').say(`due.${lubrication.state}`)}; ${
        lubrication.lastOn === null ? 'none recorded' : `last on ${EN.day(lubrication.lastOn)}`
      }`,
    },
    ...(top.look === null
      ? []
      : [
          {
            label: 'Second look',
            value: `${EN.span(top.look.windowFrom, top.look.windowTo)}, ${voiceFor('en').say(`due.${top.look.state}`)}: a joint was stiff or was repaired on ${EN.day(top.look.since)} (shop rule)`,
          },
        ]),
    ...top.warranties.map(({ part, endsOn }) => ({
      label: 'Warranty',
      value: `${part} until ${EN.day(endsOn)}`,
    })),
  ];
}

/** Day, state, washers, axial and radial play, and what was done, as they stand in the table. */
function cellsOf(pivot: TopFacts['pivots']['items'][number]): string[] {
  const { lastReading, washersExpected, series } = pivot;
  if (lastReading === null) return ['not read yet', '', '', '', '', ''];
  const { doneOn, state, oiled, repaired, washersPresent, axialPlayMm, radialPlayMm } = lastReading;
  const play = (mm: number | null, method: Method) => {
    if (mm !== null) return mm.toFixed(2);
    const last = series.findLast((one) => one.method === method);
    return last === undefined
      ? 'not measured'
      : `not measured; ${last.mm.toFixed(2)} on ${last.doneOn}`;
  };
  return [
    doneOn,
    state,
    washersInWords(washersPresent, washersExpected),
    play(axialPlayMm, 'axial'),
    play(radialPlayMm, 'radial'),
    [...(oiled ? ['oiled'] : []), ...(repaired ? ['repaired'] : [])].join(', ') || 'nothing',
  ];
}

function washersInWords(present: number | null, expected: number): string {
  if (expected === 0) return 'has none';
  return present === null ? 'not counted' : `${present} of ${expected}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly top: TopModel;
  }
}
