import type { CareDayRecord } from '../../../usecases/care-days/care-day-record.ts';
import type { BookedDaysRecord } from '../../../usecases/day/care-day.ts';
import { voiceFor } from '../../../views/words/voice.ts';
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
): [Frame, CareDayModel] {
  const voice = voiceFor('en');
  const links = careDays.map(({ id, heldOn, place, state, today }) => ({
    past: heldOn < today,
    href: `/care-day/${id}`,
    words: `${voice.day(heldOn)}, ${place}`,
    state: STATES[state],
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
          kind,
          ...(minutes === null ? [] : [`${minutes} min`]),
          ...(mustStay ? ['leave the top as it is until the repair is done'] : []),
        ].join('; '),
      })),
    })),
  };
  return [{ lang: 'en', title: 'Care day', nav: reads ? { here: 'care-day' } : null }, model];
}

const STATES: Readonly<Record<CareDayRecord['state'], string>> = {
  planned: 'planned, nobody asked yet',
  open: 'members are asked',
  'called-off': 'called off',
};

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'care-day': CareDayModel;
  }
}
