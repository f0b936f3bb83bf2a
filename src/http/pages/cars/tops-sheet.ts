import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import type { Page } from '../../../usecases/context/paging.ts';
import type { DueRecord } from '../../../usecases/tops/read-tops.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface TopsModel {
  readonly tops: readonly {
    readonly href: string;
    readonly carHref: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly state: LubricationDue['state'];
    readonly word: string;
    readonly oil: string;
  }[];
  readonly next: string | null;
  /** What was done just before. */
  readonly done: string;
  /** Whether whoever looks may record something. */
  readonly records: boolean;
}

/** A page of all tops on cars, the soonest due first. */
export function topsSheet(
  { items, next }: Page<DueRecord>,
  { records, done }: { readonly records: boolean; readonly done: string | undefined },
  voice: Voice,
): [Frame, TopsModel] {
  const { say, language } = voice;
  return [
    { lang: language, title: say('tops.title'), nav: { here: 'tops' } },
    {
      tops: items.map(({ topId, carId, registration, ownerName, lubrication }) => ({
        href: `/tops/${topId}`,
        carHref: `/cars/${carId}`,
        registration,
        ownerName,
        state: lubrication.state,
        word: say(`due.${lubrication.state}`),
        oil: say('tops.oil', { day: voice.day(lubrication.dueOn) }),
      })),
      records,
      done: done === 'erased' ? say('tops.done.erased') : '',
      next: next === null ? null : `/tops?after=${encodeURIComponent(next)}`,
    },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly tops: TopsModel;
  }
}
