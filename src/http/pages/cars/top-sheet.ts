import type { Verdict } from '../../../domain/pivots/state.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import { becauseInWords } from '../../../views/because.ts';
import { pivotMap, type Shown } from '../../../views/pivot-map.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { cautionWords } from '../frame/caution-words.ts';
import { jointWords } from '../frame/finding-words.ts';
import type { Frame } from '../frame/frame.ts';
import { type SpokenSide, spokenMap } from '../frame/map-words.ts';
import { KEEP_SCRIPT } from '../frame/script.ts';
import { nobodyLeft, type NobodyModel } from '../frame/nobody-words.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { type PhotoModel, photoModel } from '../photos/photo-model.ts';
import { chartOf, type JointChart } from './top-chart.ts';
import { bookedInWords, cellsOf, topFacts } from './top-words.ts';

/** What led to the page and who looks at it. */
export interface View {
  readonly done: string | undefined;
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  /** Whether whoever looks may give the car to another owner. */
  readonly gives: boolean;
}

export interface TopModel extends ShopStay {
  readonly photos: readonly PhotoModel[];
  readonly photosHref: string;
  readonly nobody: NobodyModel | null;
  /** What was just recorded; empty where nothing was. */
  readonly done: string;
  /** Where something about the top can be recorded; null for whoever may only read. */
  readonly records: {
    readonly oiling: string;
    readonly change: string;
    readonly sheet: string;
    readonly repairSet: string;
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
  readonly map: readonly SpokenSide[];
  readonly legend: readonly { readonly verdict: Shown; readonly words: string }[];
  readonly pivots: readonly {
    readonly number: number;
    readonly code: string;
    /** What its repair takes. */
    readonly repairHref: string;
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

const SHOWN: readonly Shown[] = ['unread', 'good', 'watch', 'plan', 'act'];
const DONE: readonly string[] = [
  'visit',
  'missed',
  'cancelled',
  'booked',
  'moved',
  'fitted',
  'changed',
];

/** A top with the map of its pivots, their last readings and what these say. */
export function topSheet(
  record: TopPageRecord,
  photos: readonly PhotoRecord[],
  view: View,
  voice: Voice,
): [Frame, TopModel] {
  const { say } = voice;
  const { top, car, erased, pattern, today } = record;
  const pivots = { ...record.pivots, items: record.pivots.items.map(asShown) };
  const { done = '' } = view;
  const model: TopModel = {
    ...shopStay(car.registration, top.mayMove, voice),
    photos: photos.map((photo) => photoModel(photo, voice)),
    photosHref: `/cars/${car.id}/photos`,
    nobody: nobodyLeft({ erased, carId: car.id, gives: view.gives }, voice),
    done: DONE.includes(done) ? say(`top.done.${done}`) : '',
    records: view.records ? actsOf(record) : null,
    booked: record.booked.map((visit) => ({
      href: view.records ? `/visits/${visit.id}` : null,
      words: bookedInWords(visit, voice),
    })),
    repair: view.records ? repairHref(record, pivots.items) : null,
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    facts: topFacts(top, today, voice),
    because: top.lubrication.because.map((line) =>
      voice.language === 'en' ? line : becauseInWords(line, voice),
    ),
    verdict: pivots.verdict,
    on: voice.day(pivots.on),
    map: spokenMap(pivotMap(pivots.items, pattern), true, voice),
    legend: SHOWN.map((verdict) => ({ verdict, words: say(`top.legend.${verdict}`) })),
    pivots: pivots.items.map((pivot, i) => ({
      number: i + 1,
      code: jointWords(voice, pivot.code),
      repairHref: `/tops/${top.id}/repair-set?pivot=${encodeURIComponent(pivot.code)}`,
      verdict: pivot.verdict,
      cells: cellsOf(pivot, voice),
      sentence: voice.tell(pivot.sentence),
      chart: chartOf(pivot, voice),
    })),
    frame: pivots.frame.because.map(voice.tell),
    frameVerdict: pivots.frame.verdict,
    frameMissing: pivots.frame.missing.map((what) =>
      say('top.frame.missing', { what: voice.tell(what) }),
    ),
    cautions: cautionWords(voice, top.powered, 'frame'),
  };
  const script = KEEP_SCRIPT.address;
  const frame = { lang: voice.language, title: say('top.title'), script, nav: { here: 'tops' } };
  return [frame, model];
}

function actsOf({ top, car, erased }: TopPageRecord): NonNullable<TopModel['records']> {
  const own = `/tops/${top.id}`;
  return {
    oiling: `${own}/visit`,
    visit: `${own}/visit?kind=look`,
    faults: `/cars/${car.id}/fault-finding`,
    work: `/cars/${car.id}/work`,
    change: `${own}/change`,
    sheet: `${own}/bench-sheet`,
    repairSet: `${own}/repair-set`,
    booking: top.retiredOn === null && !erased ? `${own}/booking` : null,
  };
}

/** Joints that want work lead to its booking from where they are told of. */
function repairHref(
  { top, booked, pivots, erased }: TopPageRecord,
  shown: readonly { readonly verdict: Shown }[],
): string | null {
  const wanted = [...shown, { verdict: pivots.frame.verdict }].some(
    ({ verdict }) => verdict === 'plan' || verdict === 'act',
  );
  const isBooked = booked.some(({ kind }) => kind === 'repair');
  return wanted && !isBooked && !erased && top.retiredOn === null
    ? `/tops/${top.id}/booking?kind=repair`
    : null;
}

function asShown<P extends TopPageRecord['pivots']['items'][number]>(pivot: P) {
  const verdict: Shown = pivot.lastReading === null ? 'unread' : pivot.verdict;
  return { ...pivot, verdict };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly top: TopModel;
  }
}
