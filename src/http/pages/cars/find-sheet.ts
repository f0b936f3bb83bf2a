import type { Page } from '../../../usecases/context/paging.ts';
import type { FoundCarRecord, FoundOwnerRecord } from '../../../usecases/tops/find-cars.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface FindModel {
  readonly lead: string;
  readonly cars: readonly {
    readonly href: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly top: { readonly href: string; readonly oil: string } | null;
  }[];
  /** Those who have no car here. */
  readonly owners: readonly { readonly href: string; readonly name: string }[];
  readonly next: string | null;
  readonly records: boolean;
}

/** The cars that fit what was typed into the search field. */
export function findSheet(
  search: string,
  { items, next }: Page<FoundCarRecord>,
  owners: readonly FoundOwnerRecord[],
  records: boolean,
  voice: Voice,
): [Frame, FindModel] {
  const { say, language } = voice;
  const model: FindModel = {
    lead: say(
      search === ''
        ? 'find.lead.empty'
        : items.length + owners.length === 0
          ? 'find.lead.none'
          : 'find.lead.found',
      { search },
    ),
    cars: items.map(({ carId, registration, ownerName, top }) => ({
      href: `/cars/${carId}`,
      registration,
      ownerName,
      top: top && {
        href: `/tops/${top.id}`,
        oil: say(top.mustStay ? 'find.oil.stay' : 'find.oil', {
          day: voice.day(top.lubrication.dueOn),
          state: say(`due.${top.lubrication.state}`),
        }),
      },
    })),
    owners: owners.map(({ id, name }) => ({ href: `/owners/${id}`, name })),
    next:
      next === null
        ? null
        : `/find?q=${encodeURIComponent(search)}&after=${encodeURIComponent(next)}`,
    records,
  };
  return [{ lang: language, title: say('find.title'), nav: { here: 'find', find: search } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly find: FindModel;
  }
}
