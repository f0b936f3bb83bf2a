import type { CareDayRecord } from '../../../usecases/care-days/care-day-record.ts';
import type { BookedDaysRecord } from '../../../usecases/day/care-day.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

interface DayLink {
  readonly href: string;
  readonly words: string;
  readonly state: string;
}

export interface CareDayModel {
  readonly organisation: string;
  readonly alone: boolean;
  readonly newHref: string;
  readonly ahead: readonly DayLink[];
  readonly past: readonly DayLink[];
  readonly days: readonly {
    readonly on: string;
    readonly cars: readonly { readonly registration: string; readonly words: string }[];
  }[];
}

/** The care days, and the cars booked on other days. A volunteer has no links to any other page. */
export function careDaySheet(
  { organisation, days }: BookedDaysRecord,
  careDays: readonly CareDayRecord[],
  { reads, keeps }: { readonly reads: boolean; readonly keeps: boolean },
  voice: Voice,
): [Frame, CareDayModel] {
  const { say, language } = voice;
  const links = careDays.map(({ id, heldOn, place, state, today }) => ({
    past: heldOn < today,
    href: `/care-day/${id}`,
    words: `${voice.day(heldOn)}, ${place}`,
    state: say(`care-day.state.${state}`),
  }));
  const others = days.filter(({ on }) => !careDays.some(({ heldOn }) => heldOn === on));
  const model: CareDayModel = {
    organisation,
    alone: !reads,
    newHref: keeps ? '/care-day/new' : '',
    ahead: links.filter(({ past }) => !past),
    past: links.filter(({ past }) => past).toReversed(),
    days: others.map(({ on, cars }) => ({
      on: voice.day(on),
      cars: cars.map(({ registration, kind, minutes, mustStay }) => ({
        registration,
        words: [
          say(`visit-kind.${kind}`),
          ...(minutes === null ? [] : [say('care-day.minutes', { minutes: String(minutes) })]),
          ...(mustStay ? [say('care-day.stay')] : []),
        ].join('; '),
      })),
    })),
  };
  return [
    {
      lang: language,
      title: say('care-day.title'),
      nav: reads ? { here: 'care-day' } : null,
    },
    model,
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'care-day': CareDayModel;
  }
}
