import type { CareDayRecord } from '../../../usecases/day/care-day.ts';
import type { Frame } from '../frame/frame.ts';

export interface CareDayModel {
  readonly organisation: string;
  readonly alone: boolean;
  readonly days: readonly {
    readonly on: string;
    readonly cars: readonly { readonly registration: string; readonly words: string }[];
  }[];
}

/** The cars of the days ahead. A volunteer has no other page, and so no links to any. */
export function careDaySheet(
  { organisation, days }: CareDayRecord,
  readsRecords: boolean,
): [Frame, CareDayModel] {
  const model: CareDayModel = {
    organisation,
    alone: !readsRecords,
    days: days.map(({ on, cars }) => ({
      on,
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
  const nav = readsRecords ? { here: 'people' } : null;
  return [{ lang: 'en', title: 'Care day', nav }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'care-day': CareDayModel;
  }
}
