import type { CarResult, DayResultRecord } from '../../../usecases/care-days/day-result.ts';
import type { PlaceRecord } from '../../../usecases/care-days/care-day-record.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface ResultModel {
  readonly heading: string;
  readonly dayHref: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly cars: readonly {
    readonly href: string;
    readonly registration: string;
    readonly lines: readonly string[];
  }[];
  readonly others: readonly { readonly heading: string; readonly cars: readonly string[] }[];
}

/** What came of a care day: in all, and car by car. */
export function resultSheet({ day, done, missed, open }: DayResultRecord): [Frame, ResultModel] {
  const sum = (count: (one: CarResult) => number) => done.reduce((all, one) => all + count(one), 0);
  const plates = (places: readonly PlaceRecord[]) => places.map(({ registration }) => registration);
  const model: ResultModel = {
    heading: `What came of ${voiceFor('en').day(day.heldOn)}`,
    dayHref: `/care-day/${day.id}`,
    facts: [
      { label: 'Cars looked after', value: String(done.length) },
      { label: 'Joints oiled', value: String(sum(({ oiled }) => oiled)) },
      { label: 'Washers missing', value: String(sum(({ washersMissing }) => washersMissing)) },
      { label: 'Faults noted', value: String(sum(({ findings }) => findings.length)) },
    ],
    cars: done.map((one) => ({
      href: `/visits/${one.place.doneVisitId ?? ''}/record`,
      registration: one.place.registration,
      lines: linesOf(one),
    })),
    others: [
      { heading: 'Did not come', cars: plates(missed) },
      { heading: 'Nothing written down yet', cars: plates(open) },
    ].filter(({ cars }) => cars.length > 0),
  };
  return [{ lang: 'en', title: 'A care day', nav: { here: 'care-day' } }, model];
}

function linesOf({ oiled, states, washersMissing, findings }: CarResult): string[] {
  const counted = [...states].map(([state, count]) => `${count} ${state}`);
  return [
    oiled === 0 ? 'joint by joint nothing was written down' : `${oiled} joints oiled`,
    ...(counted.length === 0 ? [] : [`found: ${counted.join(', ')}`]),
    ...(washersMissing === 0 ? [] : [`washers missing: ${washersMissing}`]),
    ...findings,
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'day-result': ResultModel;
  }
}
