import type { Day } from '../../../domain/calendar/day.ts';
import { ESTIMATE_HEAPS } from '../../../domain/estimates/estimate.ts';
import { moneyWords } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type { BookedEstimateRecord } from '../../../usecases/estimates/estimate-book.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface EstimatesModel {
  readonly heaps: readonly {
    readonly heading: string;
    readonly sum: string;
    readonly rows: readonly {
      readonly href: string;
      readonly number: string;
      readonly car: string;
      readonly amount: string;
      readonly when: string;
    }[];
  }[];
  readonly none: boolean;
  readonly next: string | null;
}

/** All estimates, heap by heap, with what each heap comes to and how old each is. */
export function estimatesSheet(
  items: readonly BookedEstimateRecord[],
  next: number | null,
  today: Day,
  voice: Voice,
): [Frame, EstimatesModel] {
  const { say } = voice;
  const heaps = ESTIMATE_HEAPS.flatMap((heap) => {
    const own = items.filter((one) => one.heap === heap);
    if (own.length === 0) return [];
    const rows = own.map((one) => ({
      href: `/estimates/${one.id}`,
      number: say('estimates.number', { number: String(one.number) }),
      car: `${one.registration}, ${one.ownerName}`,
      amount: money(one.currency, countsFor(one), voice),
      when: whenWords(one, today, voice),
    }));
    return [
      {
        heading: say(`estimates.heap.${heap}`),
        sum: heap === 'ended' ? '' : sumWords(own, voice),
        rows,
      },
    ];
  });
  const model = {
    heaps,
    none: items.length === 0,
    next: next === null ? null : `/estimates?below=${next}`,
  };
  return [{ lang: voice.language, title: say('estimates.title'), nav: { here: 'faults' } }, model];
}

/** What of it counts: of an answered one, what was agreed to. */
function countsFor({ heap, sum, agreed }: BookedEstimateRecord): number {
  return heap === 'accepted' && agreed !== null ? agreed.total : sum.total;
}

function sumWords(own: readonly BookedEstimateRecord[], voice: Voice): string {
  const sums = new Map<string, number>();
  for (const one of own) {
    sums.set(one.currency, (sums.get(one.currency) ?? 0) + countsFor(one));
  }
  const sum = [...sums].map(([currency, units]) => money(currency, units, voice)).join(', ');
  return voice.count('estimates.sum', own.length, { sum });
}

function money(currency: string, units: number, { locale }: Voice): string {
  return moneyWords(locale.tag, currencyOf(currency), units);
}

function whenWords(
  { heap, ageDays, holdsUntil, lines }: BookedEstimateRecord,
  today: Day,
  voice: Voice,
): string {
  const { say } = voice;
  const ago = agoWords(ageDays, voice);
  const works = lines.filter(({ kind }) => kind === 'work');
  const agreed = works.filter(({ answer }) => answer === 'accepted').length;
  switch (heap) {
    case 'waiting': {
      if (holdsUntil === null) return say('estimates.when.sent', { ago });
      const held = holdsUntil < today ? 'estimates.when.over' : 'estimates.when.holds';
      return say(held, { ago, day: voice.day(holdsUntil) });
    }
    case 'draft':
      return say('estimates.when.made', { ago });
    case 'accepted':
      return agreed === works.length
        ? say('estimates.when.accepted', { ago })
        : say('estimates.when.part', {
            agreed: String(agreed),
            works: String(works.length),
            ago,
          });
    case 'declined':
      return say('estimates.when.declined', { ago });
    case 'ended':
      return '';
  }
}

function agoWords(days: number, voice: Voice): string {
  if (days === 0) return voice.say('estimates.ago.today');
  return days === 1 ? voice.say('estimates.ago.yesterday') : voice.count('estimates.ago', days);
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly estimates: EstimatesModel;
  }
}
