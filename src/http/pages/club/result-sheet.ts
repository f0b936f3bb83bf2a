import type { CarResult, DayResultRecord } from '../../../usecases/care-days/day-result.ts';
import type { PlaceRecord } from '../../../usecases/care-days/care-day-record.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

export interface ResultModel {
  readonly heading: string;
  readonly dayHref: string;
  /** By which a letter of the club to all is drafted from it; null where there is none to draft. */
  readonly letter: { readonly form: FormModel; readonly words: string } | null;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly cars: readonly {
    readonly href: string;
    readonly registration: string;
    readonly lines: readonly string[];
  }[];
  readonly others: readonly {
    readonly heading: string;
    /** With the booking, where it is still to be said what became of it. */
    readonly cars: readonly { readonly words: string; readonly href: string | null }[];
  }[];
}

interface View {
  /** Whether whoever looks writes the letters of a club. */
  readonly letters: boolean;
  readonly once: string;
  readonly sent: Sent | null;
}

/** What came of a care day: in all, and car by car. */
export function resultSheet(
  { day, done, missed, open }: DayResultRecord,
  { letters, once, sent }: View,
  voice: Voice,
): [Frame, ResultModel] {
  const { say, language } = voice;
  const sum = (count: (one: CarResult) => number) => done.reduce((all, one) => all + count(one), 0);
  const plates = (places: readonly PlaceRecord[], led: boolean) =>
    places.map(({ registration, visitId }) => ({
      words: registration,
      href: led && visitId !== null ? `/visits/${visitId}` : null,
    }));
  const model: ResultModel = {
    heading: say('day-result.heading', { day: voice.day(day.heldOn) }),
    dayHref: `/care-day/${day.id}`,
    letter:
      letters && done.length > 0
        ? {
            form: formOf(`/care-day/${day.id}/letter`, once, sent, []),
            words:
              open.length === 0
                ? say('day-result.letter.words')
                : voice.count('day-result.letter.open', open.length),
          }
        : null,
    facts: [
      { label: say('day-result.cars'), value: String(done.length) },
      { label: say('day-result.oiled'), value: String(sum(({ oiled }) => oiled)) },
      {
        label: say('day-result.washers'),
        value: String(sum(({ washersMissing }) => washersMissing)),
      },
      { label: say('day-result.findings'), value: String(sum(({ findings }) => findings.length)) },
    ],
    cars: done.map((one) => ({
      href: `/visits/${one.place.doneVisitId ?? ''}/record`,
      registration: one.place.registration,
      lines: linesOf(one, voice),
    })),
    others: [
      { heading: say('day-result.missed'), cars: plates(missed, false) },
      {
        heading: say(day.heldOn > day.today ? 'day-result.ahead' : 'day-result.open'),
        cars: plates(open, true),
      },
    ].filter(({ cars }) => cars.length > 0),
  };
  return [{ lang: language, title: say('day-result.title'), nav: { here: 'care-day' } }, model];
}

function linesOf(
  { oiled, states, washersMissing, findings }: CarResult,
  { say, count, locale }: Voice,
): string[] {
  const counted = [...states].map(
    ([state, n]) => `${locale.number(n)} ${say(`pivot-state.${state}`)}`,
  );
  return [
    oiled === 0 ? say('day-result.line.none') : count('day-result.line.oiled', oiled),
    ...(counted.length === 0 ? [] : [say('day-result.line.found', { states: counted.join(', ') })]),
    ...(washersMissing === 0
      ? []
      : [say('day-result.line.washers', { n: locale.number(washersMissing) })]),
    ...findings,
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'day-result': ResultModel;
  }
}
