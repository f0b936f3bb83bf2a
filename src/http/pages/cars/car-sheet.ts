import { POSITIONS } from '../../../domain/folding/position-log.ts';
import type { CarPageRecord } from '../../../usecases/day/car-page.ts';
import type { EstimateRecord } from '../../../usecases/estimates/estimate-records.ts';
import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { clockWords } from '../frame/clock-words.ts';
import type { Frame } from '../frame/frame.ts';
import { nobodyLeft, type NobodyModel } from '../frame/nobody-words.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { type PhotoModel, photoModel } from '../photos/photo-model.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import {
  type CallLine,
  callLines,
  type CarActs,
  carActs,
  type CarView,
  type EstimateLine,
  estimateLines,
  mustStay,
} from './car-acts.ts';
import { type VisitModel, visitModel } from './car-visits.ts';
import { carInWords, handbookInWords, keptInWords, topInWords } from './car-words.ts';
import { type YearModel, yearOfTop } from './car-year.ts';

/** What the page of a car shows besides its history. */
export interface BesideCar {
  /** The newest photos of the car. */
  readonly photos: readonly PhotoRecord[];
  /** The newest first. */
  readonly estimates: readonly EstimateRecord[];
}

export interface CarModel extends ShopStay {
  /** Set where the owner has not shared where the top stands. */
  readonly unseen: string;
  readonly sharedHref: string;
  readonly nobody: NobodyModel | null;
  readonly photos: readonly PhotoModel[];
  readonly photosHref: string;
  /** What was just recorded; empty where nothing was. */
  readonly done: string;
  /** What can be recorded about the car; null for whoever may only read. */
  readonly records: CarActs | null;
  /** Null where nothing is known of the last year. */
  readonly year: YearModel | null;
  readonly calls: readonly CallLine[];
  /** Null for a private owner, who makes none to himself. */
  readonly estimates: readonly EstimateLine[] | null;
  readonly trail: TrailModel;
  readonly registration: string;
  readonly printed: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly tops: readonly {
    readonly heading: string;
    readonly href: string;
    readonly what: string;
    /** The newest; the others are folded away. */
    readonly visits: readonly VisitModel[];
    readonly earlier: readonly VisitModel[];
  }[];
}

const VISITS_SHOWN = 3;

/** The history of a car, top by top and visit by visit. */
export function carSheet(
  record: CarPageRecord,
  { photos, estimates }: BesideCar,
  view: CarView,
  voice: Voice,
): [Frame, CarModel] {
  const { say } = voice;
  const { car } = record;
  const model: CarModel = {
    ...shopStay(car.registration, record.tops[0]?.top.mayMove, voice),
    photos: photos.map((photo) => photoModel(photo, voice)),
    photosHref: `/cars/${car.id}/photos`,
    nobody: nobodyLeft({ erased: record.erased, carId: car.id, gives: view.gives }, voice),
    done: doneWords(view.done ?? '', mustStay(record), voice),
    records: view.records ? carActs(record, view, voice) : null,
    calls: callLines(record, view, voice),
    estimates: view.kind === 'private' ? null : estimateLines(estimates, voice),
    trail: trailModel(record.trail.items, car.timeZone, `/trail?car=${car.id}`, voice),
    registration: car.registration,
    unseen: record.unseen ? say('car.unseen') : '',
    sharedHref: `/cars/${car.id}/shared`,
    year: yearOfTop(record, voice),
    printed: voice.day(record.today),
    facts: factsOf(record, voice),
    tops: record.tops.map(({ top, visits }) => {
      const told = visits.map((visit) => visitModel(visit, view.records, voice));
      const fitted = voice.day(top.fittedOn);
      return {
        heading:
          top.retiredOn === null
            ? say('car.top.fitted', { day: fitted })
            : say('car.top.retired', { day: fitted, until: voice.day(top.retiredOn) }),
        href: `/tops/${top.id}`,
        what: topInWords(top, voice),
        visits: told.slice(0, VISITS_SHOWN),
        earlier: told.slice(VISITS_SHOWN),
      };
    }),
  };
  return [{ lang: voice.language, title: say('car.title'), nav: { here: 'tops' } }, model];
}

function factsOf(record: CarPageRecord, voice: Voice): CarModel['facts'] {
  const { say, locale } = voice;
  const { car, clock, now, folded } = record;
  const seen = { timeZone: car.timeZone, now, restHours: 0 };
  const { position, since } = clockWords(clock, seen, voice);
  const fact = (name: string, value: string) =>
    value === '' ? [] : [{ label: say(`car.fact.${name}`), value }];
  const hours = locale.number(Math.round(folded.hours));
  const longest = locale.number(Math.round(folded.longest));
  return [
    ...fact('owner', record.erased ? say('car.fact.erased') : record.ownerName),
    ...fact('car', carInWords(car)),
    ...fact('kept', keptInWords(car, voice)),
    ...fact('handbook', handbookInWords(car, record.floor, voice)),
    ...(record.unseen
      ? []
      : [
          ...fact('now', since === null ? position : `${position} ${since}`),
          ...fact('year', say('car.year.sum', { hours, longest })),
        ]),
  ];
}

const DONE: readonly string[] = [
  ...POSITIONS,
  'withdrawn',
  'corrected',
  'call',
  'added',
  'changed',
  'sold',
  'sale-back',
  'call-changed',
  'call-withdrawn',
  'top-withdrawn',
  'brought-back',
];
const MOVED: ReadonlySet<string> = new Set(POSITIONS);

function doneWords(done: string, stays: boolean, { say }: Voice): string {
  if (!DONE.includes(done)) return '';
  const noted = say(`car.done.${done}`);
  return stays && MOVED.has(done) ? say('car.done.stays', { noted }) : noted;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly car: CarModel;
  }
}
