import type { CallListRecord, CallRecord } from '../../../usecases/day/read-calls.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import type { DayList } from '../shop/day-lines.ts';
import { lastCallInWords } from '../shop/call-form.ts';
import { capital, dayLine, phoneWords, ringDeed, writeDeed } from '../shop/day-lines.ts';

export interface CallsModel {
  readonly inAll: string;
  readonly list: DayList;
  /** The following page. */
  readonly next: string | null;
  readonly because: readonly string[];
}

/** All calls that are worth making, a page at a time. */
export function callsSheet(
  { items, next, inAll, because }: CallListRecord,
  voice: Voice,
): [Frame, CallsModel] {
  return [
    { lang: voice.language, title: voice.say('calls.title'), nav: { here: 'today' } },
    {
      inAll: voice.locale.number(inAll),
      list: { first: items.map((call) => lineOf(call, voice)), rest: [] },
      next: next === null ? null : `/calls?after=${encodeURIComponent(next)}`,
      because: because.map(voice.tell),
    },
  ];
}

function lineOf(call: CallRecord, voice: Voice) {
  const { carId, registration, ownerId, ownerName, reason, lastCall, mustStay } = call;
  return dayLine({
    figure: mustStay ? { words: voice.say('calls.stay'), state: 'over' } : null,
    href: `/cars/${carId}`,
    name: registration,
    words: voice.say('calls.line', {
      owner: ownerName,
      phone: phoneWords(voice, call),
      reason: capital(voice.tell(reason)),
    }),
    small: lastCallInWords(voice, lastCall),
    deed: ringDeed(voice, call) ?? (mustStay ? writeDeed(voice, ownerId, ownerName) : null),
  });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly calls: CallsModel;
  }
}
