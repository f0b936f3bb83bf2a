import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import { invalid } from '../../../domain/refusal.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { readRetention, tryRetention } from '../../../usecases/privacy/retention.ts';
import { changeFigures } from '../../../usecases/settings/change-figures.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { numberIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { retentionSheet } from './retention-sheet.ts';

const PATH = '/settings/retention';

/** How long records are kept: shown with what would go, and set after that was said. */
export function retentionPages(app: FastifyInstance, context: Context): void {
  const page = async (
    caller: Visitor,
    voice: Voice,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const { version } = await showOrganisation(context, caller);
    const kept = await readRetention(context, caller);
    const wouldGo = await tryRetention(context, caller);
    const facts = kept.map((one) => ({ ...one, wouldGo: wouldGo[one.name] }));
    const view = {
      keeps: hasRight(caller, 'manage-organisation'),
      version,
      done,
      once: freshOnce(),
      sent,
      privacy: `/privacy/${caller.organisationId}`,
    };
    return renderFor(caller, 'retention', ...retentionSheet(facts, view, voice));
  };
  const wanted = async (caller: Visitor, form: SmallForm) => {
    const kept = await readRetention(context, caller);
    const change = kept.flatMap(({ name, own, rule }) => {
      const typed = numberIn(form, name) ?? null;
      if (typeof typed === 'string')
        throw invalid(`#/${name}`, 'Give whole months, or leave it empty.');
      return typed === own ? [] : [{ name, own: typed, months: typed ?? rule }];
    });
    if (change.length === 0) throw invalid('#', 'Nothing was changed yet.');
    return change;
  };
  showPage(app, context, PATH, ({ caller, voice, query }) =>
    page(caller, voice, query('done'), null),
  );
  answerForm(app, context, {
    path: PATH,
    needs: 'manage-organisation',
    record: async ({ caller, form }) => {
      const change = await wanted(caller, form);
      const figures = Object.fromEntries(change.map(({ name, own }) => [`retention.${name}`, own]));
      await changeFigures(context, caller, figures, versionIn(form));
      return { to: `${PATH}?done=changed` };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, undefined, sent),
    fieldAt: (pointer) => pointer.replace('#/', '').replace('retention.', ''),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('retention.sure'),
      button: ({ voice }) => voice.say('retention.sure.button'),
      words: async ({ caller, form, voice: { say } }) => {
        const change = await wanted(caller, form);
        const tried = Object.fromEntries(change.map(({ name, months }) => [name, months]));
        const wouldGo = await tryRetention(context, caller, tried);
        return [
          say('retention.sure.words'),
          ...change.map(({ name, months }) => {
            const told = {
              name: say(`retention.kind.${name}`),
              months: String(months),
              n: String(wouldGo[name]),
            };
            return months === 0
              ? say('retention.sure.always', told)
              : say('retention.sure.kind', told);
          }),
        ];
      },
      back: () => PATH,
    },
  });
}
