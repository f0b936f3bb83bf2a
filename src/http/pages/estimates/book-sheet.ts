import type { Day } from '../../../domain/calendar/day.ts';
import type { EstimateHeap } from '../../../domain/estimates/estimate.ts';
import { ESTIMATE_HEAPS } from '../../../domain/estimates/estimate.ts';
import { moneyWords } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type { BookedEstimateRecord } from '../../../usecases/estimates/estimate-book.ts';
import { localeOf } from '../../../views/words/locale.ts';
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

const EN = localeOf('en-GB');

const HEADINGS: Readonly<Record<EstimateHeap, string>> = {
  waiting: 'Wait for an answer',
  draft: 'Drafts, not sent yet',
  accepted: 'Accepted, whole or in part',
  declined: 'Declined',
  ended: 'Taken back, or replaced by a later one',
};

/** All estimates, heap by heap, with what each heap comes to and how old each is. */
export function estimatesSheet(
  items: readonly BookedEstimateRecord[],
  next: number | null,
  today: Day,
): [Frame, EstimatesModel] {
  const heaps = ESTIMATE_HEAPS.flatMap((heap) => {
    const own = items.filter((one) => one.heap === heap);
    if (own.length === 0) return [];
    const rows = own.map((one) => ({
      href: `/estimates/${one.id}`,
      number: `Estimate ${one.number}`,
      car: `${one.registration}, ${one.ownerName}`,
      amount: money(one.currency, countsFor(one)),
      when: whenWords(one, today),
    }));
    return [{ heading: HEADINGS[heap], sum: heap === 'ended' ? '' : sumWords(own), rows }];
  });
  const model = {
    heaps,
    none: items.length === 0,
    next: next === null ? null : `/estimates?below=${next}`,
  };
  return [{ lang: 'en', title: 'Estimates', nav: { here: 'faults' } }, model];
}

/** What of it counts: of an answered one, what was agreed to. */
function countsFor({ heap, sum, agreed }: BookedEstimateRecord): number {
  return heap === 'accepted' && agreed !== null ? agreed.total : sum.total;
}

function sumWords(own: readonly BookedEstimateRecord[]): string {
  const sums = new Map<string, number>();
  for (const one of own) {
    sums.set(one.currency, (sums.get(one.currency) ?? 0) + countsFor(one));
  }
  const said = [...sums].map(([currency, units]) => money(currency, units)).join(', ');
  return `${own.length === 1 ? '1 estimate' : `${EN.number(own.length)} estimates`}, ${said}`;
}

function money(currency: string, units: number): string {
  return moneyWords(EN.tag, currencyOf(currency), units);
}

function whenWords({ heap, ageDays, holdsUntil, lines }: BookedEstimateRecord, today: Day): string {
  const ago =
    ageDays === 0 ? 'today' : ageDays === 1 ? 'yesterday' : `${EN.number(ageDays)} days ago`;
  const works = lines.filter(({ kind }) => kind === 'work');
  const agreed = works.filter(({ answer }) => answer === 'accepted').length;
  switch (heap) {
    case 'waiting':
      if (holdsUntil === null) return `sent ${ago}`;
      return holdsUntil < today
        ? `sent ${ago}; it has not held since ${EN.day(holdsUntil)}`
        : `sent ${ago}; holds until ${EN.day(holdsUntil)}`;
    case 'draft':
      return `made ${ago}`;
    case 'accepted':
      return agreed === works.length
        ? `accepted ${ago}`
        : `${agreed} of ${works.length} pieces of work accepted ${ago}`;
    case 'declined':
      return `declined ${ago}; told again at the next visit`;
    case 'ended':
      return '';
  }
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly estimates: EstimatesModel;
  }
}
