import type { ComingMonthRecord } from '../../../usecases/round/coming-letters.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { kindWords } from './letter-words.ts';

export interface ComingModel {
  readonly lead: string;
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
    readonly more: string;
  }[];
}

/** Past this many a month is told by its sums alone. */
const SHOWN = 40;

/** The letters of the coming months, if nothing else happens. */
export function comingSheet(
  months: readonly ComingMonthRecord[],
  voice: Voice,
): [Frame, ComingModel] {
  const { say, locale } = voice;
  const count = months.reduce((sum, { letters }) => sum + letters.length, 0);
  return [
    { lang: voice.language, title: say('letters.coming'), nav: { here: 'letters' } },
    {
      lead: voice.count('letters.coming.lead', count),
      months: months.map(({ month, letters }, i) => ({
        name: locale.month(`${month}-01`),
        sum: sumOf(letters, voice),
        open: i === 0,
        letters: letters.slice(0, SHOWN).map(({ kind, on, owner, ownerId, registrations }) => ({
          day: voice.day(on),
          kind: kindWords(voice, kind),
          kindHref: `/letter-kinds/${kind}`,
          to: owner,
          toHref: `/letters?owner=${ownerId}`,
          cars: say('letters.coming.line', { cars: registrations.join(', ') }),
        })),
        more:
          letters.length > SHOWN ? voice.count('letters.coming.more', letters.length - SHOWN) : '',
      })),
    },
  ];
}

function sumOf(letters: ComingMonthRecord['letters'], voice: Voice): string {
  if (letters.length === 0) return voice.say('letters.coming.none');
  const sums = new Map<string, number>();
  for (const { kind } of letters) {
    const words = kindWords(voice, kind);
    sums.set(words, (sums.get(words) ?? 0) + 1);
  }
  return [...sums].map(([words, n]) => `${n} × ${words}`).join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'letters-coming': ComingModel;
  }
}
