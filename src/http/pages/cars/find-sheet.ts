import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { Frame } from '../frame/frame.ts';
import { DUE_WORDS } from './tops-sheet.ts';

export interface FindFacts {
  readonly search: string;
  readonly items: readonly {
    readonly carId: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly top: {
      readonly id: string;
      readonly lubrication: LubricationDue;
      readonly mustStay: boolean;
    } | null;
  }[];
  readonly next: string | null;
  /** Whether whoever looks may record something. */
  readonly records: boolean;
}

export interface FindModel {
  readonly lead: string;
  readonly cars: readonly {
    readonly href: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly top: { readonly href: string; readonly oil: string } | null;
  }[];
  readonly next: string | null;
  readonly records: boolean;
}

const EN = localeOf('en-GB');

/** The cars that fit what was typed into the search field. */
export function findSheet({ search, items, next, records }: FindFacts): [Frame, FindModel] {
  const model: FindModel = {
    lead: leadOf(search, items.length),
    cars: items.map(({ carId, registration, ownerName, top }) => ({
      href: `/cars/${carId}`,
      registration,
      ownerName,
      top: top && {
        href: `/tops/${top.id}`,
        oil: `${top.mustStay ? 'must not be moved; ' : ''}oil due on ${EN.day(top.lubrication.dueOn)}, ${DUE_WORDS[top.lubrication.state]}`,
      },
    })),
    next:
      next === null
        ? null
        : `/find?q=${encodeURIComponent(search)}&after=${encodeURIComponent(next)}`,
    records,
  };
  return [{ lang: 'en', title: 'Find a car', nav: { here: 'find', find: search } }, model];
}

function leadOf(search: string, found: number): string {
  if (search === '')
    return 'Type a part of the registration, the owner’s name, the telephone number, the mail address (with its @), the model or the postcode above.';
  if (found === 0) {
    return `No car and no owner here has “${search}” in it. Try fewer letters.`;
  }
  return `These have “${search}” in the registration, the model or what is known of the owner.`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly find: FindModel;
  }
}
