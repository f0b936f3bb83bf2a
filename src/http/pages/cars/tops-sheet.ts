import type { Day } from '../../../domain/calendar/day.ts';
import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { Frame } from '../frame/frame.ts';

export interface TopsModel {
  readonly tops: readonly {
    readonly href: string;
    readonly carHref: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly state: LubricationDue['state'];
    readonly word: string;
    readonly day: string;
  }[];
  readonly next: string | null;
  /** Whether whoever looks may record something. */
  readonly records: boolean;
}

/** How a due day stands, in a word. */
export const DUE_WORDS = { ahead: 'ahead', open: 'in its window', late: 'late' } as const;

interface DueTop {
  readonly topId: string;
  readonly carId: string;
  readonly registration: string;
  readonly ownerName: string;
  readonly lubrication: { readonly dueOn: Day; readonly state: LubricationDue['state'] };
}

/** A page of all tops on cars, the soonest due first. */
export function topsSheet(
  tops: readonly DueTop[],
  next: string | null,
  records: boolean,
): [Frame, TopsModel] {
  const locale = localeOf('en-GB');
  return [
    { lang: 'en', title: 'Tops', nav: { here: 'tops' } },
    {
      tops: tops.map(({ topId, carId, registration, ownerName, lubrication }) => ({
        href: `/tops/${topId}`,
        carHref: `/cars/${carId}`,
        registration,
        ownerName,
        state: lubrication.state,
        word: DUE_WORDS[lubrication.state],
        day: locale.day(lubrication.dueOn),
      })),
      records,
      next: next === null ? null : `/tops?after=${encodeURIComponent(next)}`,
    },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly tops: TopsModel;
  }
}
