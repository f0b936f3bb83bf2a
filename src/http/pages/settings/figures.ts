import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import { invalid } from '../../../domain/refusal.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import type { FigureRecord } from '../../../usecases/rules/list-rules.ts';
import { listRules } from '../../../usecases/rules/list-rules.ts';
import type { FigureChange } from '../../../usecases/settings/change-figures.ts';
import { changeFigures } from '../../../usecases/settings/change-figures.ts';
import { tryFigures } from '../../../usecases/settings/try-figures.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { numberIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { figuresSheet } from './figures-sheet.ts';
import { figuresTriedSheet } from './figures-tried-sheet.ts';

const LARGEST = 16 * 1024;

/** The figures that decide, with their sources; an organisation's own are tried before they are kept. */
export function figurePages(app: FastifyInstance, context: Context): void {
  const page = async (
    caller: Visitor,
    voice: Voice,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const { items, version } = await listRules(context, caller);
    const { kind } = caller;
    const keeps = hasRight(caller, 'manage-organisation');
    const view = { kind, keeps, done, once: freshOnce(), sent };
    return renderFor(caller, 'figures', ...figuresSheet(items, version, view, voice));
  };
  const wanted = async (caller: Visitor, form: SmallForm) => {
    const { items } = await listRules(context, caller);
    const figures = items.flatMap((rule) => rule.figures);
    return { figures, change: changeIn(form, figures) };
  };
  showPage(app, context, '/settings/figures', ({ caller, voice, query }) =>
    page(caller, voice, query('done'), null),
  );
  answerForm(app, context, {
    path: '/settings/figures/try',
    needs: 'manage-organisation',
    largest: LARGEST,
    record: async ({ caller, form, voice }) => {
      const { figures, change } = await wanted(caller, form);
      const effects = await tryFigures(context, caller, change);
      const view = { once: freshOnce(), version: versionIn(form) };
      const sheet = figuresTriedSheet(change, figures, effects, view, voice);
      return { page: renderFor(caller, 'figures-tried', ...sheet) };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, undefined, sent),
  });
  answerForm(app, context, {
    path: '/settings/figures',
    needs: 'manage-organisation',
    largest: LARGEST,
    record: async ({ caller, form }) => {
      const { change } = await wanted(caller, form);
      await changeFigures(context, caller, change, versionIn(form));
      return { to: '/settings/figures?done=changed' };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, undefined, sent),
  });
}

/** What a form changes: an empty field goes back to the default. */
function changeIn(form: SmallForm, figures: readonly FigureRecord[]): FigureChange {
  const change = new Map<string, number | null>();
  for (const { name, own } of figures) {
    if (!Object.hasOwn(form, name)) continue;
    const typed = numberIn(form, name) ?? null;
    if (typeof typed === 'string') throw invalid(`#/${name}`, 'Give a number, or leave it empty.');
    if (typed !== own) change.set(name, typed);
  }
  if (change.size === 0) throw invalid('#', 'Nothing was changed yet. Write a number of your own.');
  return Object.fromEntries(change);
}
