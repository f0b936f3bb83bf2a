import type { FigureRecord } from '../../../usecases/rules/list-rules.ts';
import type { FigureChange } from '../../../usecases/settings/change-figures.ts';
import type { FigureEffects } from '../../../usecases/settings/try-figures.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { wordsOf } from './figures-sheet.ts';

export interface FiguresTriedModel {
  readonly changes: readonly string[];
  readonly effects: readonly string[];
  readonly days: readonly {
    readonly href: string;
    readonly registration: string;
    readonly words: string;
  }[];
  readonly moreDays: number;
  readonly once: string;
  readonly version: string;
  readonly fields: readonly { readonly name: string; readonly value: string }[];
}

const DAYS_SHOWN = 40;

/** What a change of figures would do, before it is kept. */
export function figuresTriedSheet(
  change: FigureChange,
  figures: readonly FigureRecord[],
  { dueDays, withdrawn }: FigureEffects,
  looking: { readonly once: string; readonly version: number | null },
): [Frame, FiguresTriedModel] {
  const voice = voiceFor('en');
  const known = new Map(figures.map((figure) => [figure.name, figure]));
  const model: FiguresTriedModel = {
    changes: Object.entries(change).map(([name, becomes]) => {
      const { value = 0, own = null, unit = '' } = known.get(name) ?? {};
      const to = becomes === null ? `${value} ${unit}, the default` : `${becomes} ${unit}`;
      return `${wordsOf(name.split('.').at(-1) ?? name)}: from ${own ?? value} to ${to}`;
    }),
    effects: [
      dueDays.length === 0
        ? 'No top gets another day for its oil.'
        : `${counted(dueDays.length, 'top')} would be due for oil on another day.`,
      withdrawn === 0
        ? 'No letter that waits would be withdrawn.'
        : `${counted(withdrawn, 'letter')} that wait would be withdrawn, because they would no longer be true.`,
      'What is written or ordered by it from now on follows at the next round.',
    ],
    days: dueDays.slice(0, DAYS_SHOWN).map(({ topId, registration, was, becomes }) => ({
      href: `/tops/${topId}`,
      registration,
      words: `${voice.day(was)} becomes ${voice.day(becomes)}`,
    })),
    moreDays: Math.max(0, dueDays.length - DAYS_SHOWN),
    once: looking.once,
    version: looking.version === null ? '' : String(looking.version),
    fields: Object.entries(change).map(([name, value]) => ({
      name,
      value: value === null ? '' : String(value),
    })),
  };
  return [{ lang: 'en', title: 'What the figures would do', nav: { here: 'settings' } }, model];
}

function counted(count: number, word: string): string {
  return count === 1 ? `1 ${word}` : `${count} ${word}s`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'figures-tried': FiguresTriedModel;
  }
}
