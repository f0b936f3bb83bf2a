import type { FigureRecord } from '../../../usecases/rules/list-rules.ts';
import type { FigureChange } from '../../../usecases/settings/change-figures.ts';
import type { FigureEffects } from '../../../usecases/settings/try-figures.ts';
import type { Voice } from '../../../views/words/voice.ts';
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
  { dueDays, withdrawn, anew }: FigureEffects,
  view: { readonly once: string; readonly version: number | null },
  voice: Voice,
): [Frame, FiguresTriedModel] {
  const { say, tell, count } = voice;
  const known = new Map(figures.map((figure) => [figure.name, figure]));
  const model: FiguresTriedModel = {
    changes: Object.entries(change).map(([name, becomes]) => {
      const { value = 0, own = null, unit = '' } = known.get(name) ?? {};
      const told = {
        name: tell(wordsOf(name.split('.').at(-1) ?? name)),
        was: tell(String(own ?? value)),
        to: `${tell(String(becomes ?? value))} ${tell(unit)}`,
      };
      return becomes === null ? say('figures.tried.default', told) : say('figures.tried.to', told);
    }),
    effects: [
      dueDays.length === 0
        ? say('figures.tried.no-top')
        : count('figures.tried.tops', dueDays.length),
      ...(withdrawn + anew === 0 ? [say('figures.tried.no-letter')] : []),
      ...(withdrawn === 0 ? [] : [count('figures.tried.letters', withdrawn)]),
      ...(anew === 0 ? [] : [count('figures.tried.anew', anew)]),
      say('figures.tried.follows'),
    ],
    days: dueDays.slice(0, DAYS_SHOWN).map(({ topId, registration, was, becomes }) => ({
      href: `/tops/${topId}`,
      registration,
      words: say('figures.tried.day', { was: voice.day(was), becomes: voice.day(becomes) }),
    })),
    moreDays: Math.max(0, dueDays.length - DAYS_SHOWN),
    once: view.once,
    version: view.version === null ? '' : String(view.version),
    fields: Object.entries(change).map(([name, value]) => ({
      name,
      value: value === null ? '' : String(value),
    })),
  };
  return [
    { lang: voice.language, title: say('figures.tried.title'), nav: { here: 'settings' } },
    model,
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'figures-tried': FiguresTriedModel;
  }
}
