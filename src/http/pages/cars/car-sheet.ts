import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { Keeping, KeepingQuestion } from '../../../domain/lubrication/keeping.ts';
import { untoldInWords, untoldOf } from '../../../domain/lubrication/keeping.ts';
import type { FoldFloor } from '../../../domain/advice/fold-floor.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import type { CallOutcome } from '../../../domain/calls/earlier-calls.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { msOf } from '../../../domain/calendar/instant.ts';
import type { FoldedClock } from '../../../domain/folding/clock.ts';
import type { Spell } from '../../../domain/folding/spells.ts';
import { localeOf } from '../../../views/words/locale.ts';
import { findingInWords } from '../frame/finding-words.ts';
import { type CallFormModel, callForm, outcomeInWords } from '../shop/call-form.ts';
import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import { clockWords } from '../frame/clock-words.ts';
import type { Sent } from '../frame/form.ts';
import { type PhotoModel, photoModel } from '../photos/photo-model.ts';
import type { Frame } from '../frame/frame.ts';
import { POSITIONS } from '../../../domain/folding/position-log.ts';
import { type PositionFacts, type PositionModel, positionForm } from './position-form.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { type YearPlot, yearPlot } from './year-plot.ts';

export interface VisitFacts {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
  readonly plannedOn: Day | null;
  readonly doneOn: Day | null;
  readonly minutes: number | null;
  readonly swayMm: number | null;
  readonly diagonalsMm: { readonly left: number; readonly right: number } | null;
  readonly breakawayN: number | null;
  readonly notes: string | null;
  readonly readings: readonly {
    readonly pivot: string;
    readonly state: string;
    readonly oiled: boolean;
    readonly repaired: boolean;
    readonly lubricant: string | null;
    readonly washersPresent: number | null;
    readonly axialPlayMm: number | null;
    readonly radialPlayMm: number | null;
  }[];
  readonly findings: readonly {
    readonly pivot: string | null;
    readonly text: string;
    readonly advised: string | null;
    readonly outcome: string;
  }[];
}

export interface CarFacts {
  /** The newest photos of the car. */
  readonly photos: readonly PhotoRecord[];
  readonly now: Instant;
  readonly today: Day;
  readonly car: {
    readonly id: string;
    readonly ownerId: string;
    readonly registration: string;
    readonly timeZone: string;
    readonly make: string | null;
    readonly model: string | null;
    readonly year: number | null;
    readonly colour: string | null;
    readonly handbook: {
      readonly foldedLimitDays: number;
      readonly foldFloorCelsius: number | null;
    };
    readonly keeping: Pick<Keeping, KeepingQuestion>;
  };
  readonly ownerName: string;
  readonly erased: boolean;
  readonly entries: PositionFacts['entries'];
  readonly calls: readonly {
    readonly id: string;
    readonly on: Day;
    readonly outcome: CallOutcome;
    readonly notes: string | null;
  }[];
  readonly clock: FoldedClock;
  readonly unseen: boolean;
  readonly folded: { readonly hours: number; readonly longest: number };
  readonly spells: readonly Spell[];
  readonly trail: { readonly items: readonly TrailRecord[]; readonly next: string | null };
  readonly floor: FoldFloor | null;
  readonly tops: readonly {
    readonly top: {
      readonly id: string;
      readonly fittedOn: Day;
      readonly retiredOn: Day | null;
      readonly cover: { readonly material: string };
      readonly window: string;
      readonly powered: boolean;
      readonly coverName: string | null;
      readonly coverColour: string | null;
      readonly makersReference: string | null;
      readonly windowMade: string | null;
      readonly framePattern: string;
      readonly mayMove: MayMove;
    };
    readonly visits: readonly VisitFacts[];
  }[];
}

/** Who looks at the page, what led to it, and a form of it that came back. */
export interface CarLooking {
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  readonly done: string | undefined;
  readonly once: string;
  readonly came: { readonly form: 'position' | 'call'; readonly sent: Sent } | null;
}

export interface VisitModel {
  /** Where a booked visit is completed or called off; null where it is over. */
  readonly href: string | null;
  /** Where what was recorded of it can be put right; null where it did not take place. */
  readonly record: string | null;
  readonly heading: string;
  readonly lines: readonly string[];
  readonly readings: readonly { readonly pivot: string; readonly found: string }[];
  readonly findings: readonly string[];
}

export interface CarModel extends ShopStay {
  /** Set where the owner has not shared where the top stands. */
  readonly unseen: string;
  readonly sharedHref: string;
  readonly photos: readonly PhotoModel[];
  readonly photosHref: string;
  /** What was just recorded; empty where nothing was. */
  readonly done: string;
  /** What can be recorded about the car; null for whoever may only read. */
  readonly records: {
    readonly oiling: string | null;
    readonly booking: string | null;
    readonly owner: string | null;
    readonly faults: string;
    readonly work: string;
    readonly change: string;
    readonly recover: string;
    readonly recoverWords: string;
    readonly top: PositionModel;
    readonly call: CallFormModel | null;
  } | null;
  /** Null where nothing is known of the last year. */
  readonly year: YearModel | null;
  readonly calls: readonly { readonly words: string; readonly href: string | null }[];
  readonly trail: TrailModel;
  readonly registration: string;
  readonly printed: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly tops: readonly {
    readonly heading: string;
    readonly href: string;
    readonly what: string;
    readonly visits: readonly VisitModel[];
  }[];
}

/** The last year of a top as a drawing, with the table behind it. */
export interface YearModel {
  readonly plot: YearPlot;
  readonly label: string;
  readonly rows: readonly {
    readonly from: string;
    readonly to: string;
    readonly lasted: string;
    readonly what: string;
  }[];
}

const EN = localeOf('en-GB');
const MONTH = new Intl.DateTimeFormat('en-GB', { month: 'short', timeZone: 'UTC' });

const UNSEEN_WORDS =
  'Where the top stands is the member’s own to share, and is not shared with the club.';

/** The history of a car, top by top and visit by visit. */
export function carSheet(record: CarFacts, looking: CarLooking): [Frame, CarModel] {
  const { car, clock, now, folded, tops } = record;
  const seen = { timeZone: car.timeZone, now, restHours: 0 };
  const { position, since } = clockWords(clock, seen, voiceFor('en'));
  const { foldedLimitDays, foldFloorCelsius } = car.handbook;
  const model: CarModel = {
    ...shopStay(car.registration, tops[0]?.top.mayMove, voiceFor('en')),
    photos: record.photos.map(photoModel),
    photosHref: `/cars/${car.id}/photos`,
    done: doneWords(looking.done ?? '', mustStay(record)),
    records: looking.records ? recordsModel(record, looking) : null,
    calls: record.calls.map(({ id, on, outcome, notes }) => ({
      words: `${EN.day(on)}: ${outcomeInWords(outcome)}${notes === null ? '' : `. ${notes}`}`,
      href: looking.records ? `/calls/${id}` : null,
    })),
    trail: trailModel(record.trail.items, car.timeZone, `/trail?car=${car.id}`, voiceFor('en')),
    registration: car.registration,
    unseen: record.unseen ? UNSEEN_WORDS : '',
    sharedHref: `/cars/${car.id}/shared`,
    year: yearOfTop(record),
    printed: EN.day(record.today),
    facts: [
      { label: 'Owner', value: record.ownerName },
      ...(carInWords(car) === '' ? [] : [{ label: 'Car', value: carInWords(car) }]),
      {
        label: 'Kept',
        value: keptInWords(car.keeping),
      },
      {
        label: 'Handbook',
        value: `folded for ${days(foldedLimitDays)} at most${coldWords(foldFloorCelsius, record.floor)}`,
      },
      ...(record.unseen
        ? []
        : [
            { label: 'Now', value: since === null ? position : `${position} ${since}` },
            {
              label: 'Last year',
              value: `folded for ${EN.number(Math.round(folded.hours))} hours in all, ${EN.number(Math.round(folded.longest))} at a stretch at most`,
            },
          ]),
    ],
    tops: tops.map(({ top, visits }) => ({
      heading: `Top fitted on ${EN.day(top.fittedOn)}${top.retiredOn === null ? '' : `, retired on ${EN.day(top.retiredOn)}`}`,
      href: `/tops/${top.id}`,
      what: topInWords(top),
      visits: visits.map((visit) => visitModel(visit, looking.records)),
    })),
  };
  return [{ lang: 'en', title: 'History of a car', nav: { here: 'tops' } }, model];
}

const DONE: Readonly<Record<string, string>> = {
  raised: 'Noted: raised.',
  folded: 'Noted: folded.',
  'folded-under-hard-top': 'Noted: folded under the hard top.',
  withdrawn: 'Taken back.',
  corrected: 'Put right. The wrong entry stays in the log and counts for nothing.',
  call: 'The call is noted.',
  added: 'The car is in care.',
  changed: 'Changed. Letters that became untrue are not sent any more.',
  sold: 'The car has its new owner.',
  'call-changed': 'The call is put right.',
  'call-withdrawn': 'The call is taken back.',
  'top-withdrawn': 'The top is taken back.',
};

const MOVED: ReadonlySet<string> = new Set(POSITIONS);

function doneWords(done: string, stays: boolean): string {
  const noted = DONE[done] ?? '';
  return stays && MOVED.has(done) ? `${noted} Leave the top as it is from now on.` : noted;
}

function mustStay({ tops }: CarFacts): boolean {
  return tops[0]?.top.mayMove.verdict === 'leave';
}

function recordsModel(
  record: CarFacts,
  { once, came }: CarLooking,
): NonNullable<CarModel['records']> {
  const { car, tops, erased } = record;
  const top = tops.find((one) => one.top.retiredOn === null)?.top;
  const sentTo = (form: 'position' | 'call') => (came?.form === form ? came.sent : null);
  return {
    oiling: top === undefined ? null : `/tops/${top.id}/visit`,
    booking: top === undefined ? null : `/tops/${top.id}/booking`,
    owner: erased ? null : `/owners/${car.ownerId}`,
    faults: `/cars/${car.id}/fault-finding`,
    work: `/cars/${car.id}/work`,
    change: `/cars/${car.id}/change`,
    recover: `/cars/${car.id}/top`,
    recoverWords: top === undefined ? 'Record its top' : 'Re-cover',
    top: positionForm(record, mustStay(record), once, sentTo('position')),
    call: erased ? null : callForm(car.id, 'car', once, sentTo('call')),
  };
}

/** A visit as it is told of: what was measured, read and found. */
export function visitModel(visit: VisitFacts, records: boolean): VisitModel {
  const { kind, state, doneOn, plannedOn, minutes, swayMm, diagonalsMm, breakawayN } = visit;
  const day = doneOn ?? plannedOn;
  const oiled = visit.readings.filter((reading) => reading.oiled).length;
  const measures = [
    ...(minutes === null ? [] : [`took ${minutes} minutes`]),
    ...(oiled === 0 ? [] : [`${oiled} of ${visit.readings.length} pivots oiled`]),
    ...(swayMm === null ? [] : [`sway at the header ${swayMm} mm`]),
    ...(diagonalsMm === null
      ? []
      : [`diagonals ${diagonalsMm.left} mm left, ${diagonalsMm.right} mm right`]),
    ...(breakawayN === null ? [] : [`breakaway force ${breakawayN} N`]),
  ];
  const open = state === 'booked' || state === 'planned';
  return {
    href: records && (open || state === 'missed') ? `/visits/${visit.id}` : null,
    record: state === 'done' ? `/visits/${visit.id}/record` : null,
    heading: `${day === null ? 'No day' : EN.day(day)}: ${words(kind)}, ${state}`,
    lines: [
      ...(measures.length === 0 ? [] : [`${measures.join('; ')}.`]),
      ...(visit.notes === null ? [] : [visit.notes]),
    ],
    readings: visit.readings.map((reading) => ({
      pivot: reading.pivot,
      found: found(reading),
    })),
    findings: visit.findings.map(findingInWords),
  };
}

function found(reading: VisitFacts['readings'][number]): string {
  const { state, washersPresent, axialPlayMm, radialPlayMm, repaired, lubricant } = reading;
  return [
    state,
    ...(washersPresent === null
      ? []
      : [`${washersPresent} ${washersPresent === 1 ? 'washer' : 'washers'}`]),
    ...(axialPlayMm === null ? [] : [`${axialPlayMm.toFixed(2)} mm axial`]),
    ...(radialPlayMm === null ? [] : [`${radialPlayMm.toFixed(2)} mm radial`]),
    ...(repaired ? ['repaired'] : []),
    ...(lubricant === null ? [] : [lubricant]),
  ].join(', ');
}

/** "Sample Roadster, 2004, green", as far as it is known. */
export function carInWords({ make, model, year, colour }: CarFacts['car']): string {
  const name = [make, model].filter((word) => word !== null).join(' ');
  return [name, year === null ? '' : String(year), colour ?? ''].filter(Boolean).join(', ');
}

/** Of what a top is made, the shop's own words after ours. */
export function topInWords(top: CarFacts['tops'][number]['top']): string {
  const own = (word: string | null) => (word === null ? '' : ` (${word})`);
  return [
    `${[top.coverColour, top.cover.material].filter((word) => word !== null).join(' ')}${own(top.coverName)}`,
    `${words(top.window)} window${own(top.windowMade)}`,
    top.powered ? 'powered' : 'folded by hand',
    `frame ${top.framePattern}`,
    ...(top.makersReference === null ? [] : [`maker’s reference ${top.makersReference}`]),
  ].join(', ');
}

function days(count: number): string {
  return count === 1 ? 'one day' : `${EN.number(count)} days`;
}

function words(name: string): string {
  return name.replaceAll('-', ' ');
}

/** The car's handbook has the first word; without it the shop rule by material is shown as such. */
function coldWords(handbook: number | null, floor: FoldFloor | null): string {
  if (handbook !== null) return `, not under ${handbook} °C`;
  if (floor === null) return '';
  return `; says nothing of cold, so not under ${floor.celsius} °C (${floor.because})`;
}

function yearOfTop({ spells, car, now, folded }: CarFacts): YearModel | null {
  if (spells.length === 0) return null;
  const { timeZone } = car;
  const down = spells.filter(({ position }) => position !== 'raised').toReversed();
  return {
    plot: yearPlot(spells, timeZone, now, (month) => MONTH.format(new Date(month))),
    label: `Where the top stood in the last year, a row a month. Folded for ${EN.number(Math.round(folded.hours))} hours in all.`,
    rows: down.map(({ position, from, to }) => ({
      from: EN.instant(from, timeZone),
      to: to === now ? 'now' : EN.instant(to, timeZone),
      lasted: lastedInWords(msOf(to) - msOf(from)),
      what: position === 'folded' ? 'folded' : 'under the hard top',
    })),
  };
}

function lastedInWords(ms: number): string {
  const hours = Math.round(ms / 3_600_000);
  return hours < 48 ? `${hours} h` : `${EN.number(Math.round(hours / 24))} days`;
}

/** How a car is kept, and what nobody has told of it. */
function keptInWords(keeping: Pick<Keeping, KeepingQuestion>): string {
  const { place, salt, use } = keeping;
  const untold = untoldOf(keeping);
  const told = [
    ...(place === null ? [] : [words(place)]),
    ...(salt === null ? [] : [salt === 'none' ? 'no salt' : words(salt)]),
    ...(use === null ? [] : [`driven ${words(use)}`]),
    ...(untold.length === 0 ? [] : [`not told ${untoldInWords(untold)}`]),
  ];
  return told.join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly car: CarModel;
  }
}
