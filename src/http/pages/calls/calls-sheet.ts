import type { CallListRecord, CallRecord } from '../../../usecases/day/read-calls.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { Frame } from '../frame/frame.ts';
import type { DayList } from '../shop/day-lines.ts';
import { dayLine, phoneWords, ringDeed, writeDeed } from '../shop/day-lines.ts';

export interface CallsModel {
  readonly inAll: string;
  readonly list: DayList;
  /** The following page. */
  readonly next: string | null;
  readonly because: readonly string[];
}

const EN = localeOf('en-GB');

/** All calls that are worth making, a page at a time. */
export function callsSheet({ items, next, inAll, because }: CallListRecord): [Frame, CallsModel] {
  return [
    { lang: 'en', title: 'All calls', nav: { here: 'today' } },
    {
      inAll: EN.number(inAll),
      list: { first: items.map(lineOf), rest: [] },
      next: next === null ? null : `/calls?after=${encodeURIComponent(next)}`,
      because,
    },
  ];
}

function lineOf(call: CallRecord) {
  const { carId, registration, ownerId, ownerName, reason, lastCall, mustStay } = call;
  return dayLine({
    figure: mustStay ? { words: 'must not be moved', state: 'over' } : null,
    href: `/cars/${carId}`,
    name: registration,
    words: `${ownerName}, ${phoneWords(call)} ${reason.slice(0, 1).toUpperCase()}${reason.slice(1)}.`,
    small:
      lastCall === null
        ? []
        : [`Rung last on ${EN.day(lastCall.on)}: ${lastCall.outcome.replaceAll('-', ' ')}.`],
    deed: ringDeed(call) ?? (mustStay ? writeDeed(ownerId, ownerName) : null),
  });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly calls: CallsModel;
  }
}
