import type { Day } from '../../../domain/calendar/day.ts';
import type { ComingMonthRecord } from '../../../usecases/round/coming-letters.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { kindWords } from './letter-words.ts';

export interface ComingModel {
  readonly total: string;
  readonly months: readonly {
    readonly name: string;
    readonly sum: string;
    readonly open: boolean;
    readonly letters: readonly {
      readonly day: string;
      readonly kind: string;
      readonly kindHref: string;
      readonly to: string;
      readonly toHref: string;
      readonly cars: string;
    }[];
    readonly more: number;
  }[];
}

/** Past this many a month is told by its sums alone. */
const SHOWN = 40;

/** The letters of the coming months, if nothing else happens. */
export function comingSheet(months: readonly ComingMonthRecord[]): [Frame, ComingModel] {
  const voice = voiceFor('en');
  const count = months.reduce((sum, { letters }) => sum + letters.length, 0);
  return [
    { lang: 'en', title: 'Letters to come', nav: { here: 'letters' } },
    {
      total: count === 1 ? '1 letter' : `${count} letters`,
      months: months.map(({ month, letters }, i) => ({
        name: monthName(month),
        sum: sumOf(letters),
        open: i === 0,
        letters: letters.slice(0, SHOWN).map(({ kind, on, owner, ownerId, registrations }) => ({
          day: voice.day(on),
          kind: kindWords(voiceFor('en'), kind),
          kindHref: `/letter-kinds/${kind}`,
          to: owner,
          toHref: `/letters?owner=${ownerId}`,
          cars: registrations.join(', '),
        })),
        more: Math.max(0, letters.length - SHOWN),
      })),
    },
  ];
}

function sumOf(letters: ComingMonthRecord['letters']): string {
  if (letters.length === 0) return 'none';
  const sums = new Map<string, number>();
  for (const { kind } of letters)
    sums.set(kindWords(voiceFor('en'), kind), (sums.get(kindWords(voiceFor('en'), kind)) ?? 0) + 1);
  return [...sums].map(([words, n]) => `${n} × ${words}`).join(', ');
}

function monthName(month: string): string {
  const first: Day = `${month}-01`;
  return new Intl.DateTimeFormat('en-GB', {
    month: 'long',
    year: 'numeric',
    timeZone: 'UTC',
  }).format(new Date(`${first}T00:00:00Z`));
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'letters-coming': ComingModel;
  }
}
