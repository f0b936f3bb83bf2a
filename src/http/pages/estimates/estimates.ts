import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { answerEstimate } from '../../../usecases/estimates/answer-estimate.ts';
import {
  changeEstimate,
  makeEstimate,
  redraftEstimate,
} from '../../../usecases/estimates/make-estimate.ts';
import { readEstimateBook } from '../../../usecases/estimates/estimate-book.ts';
import { readEstimate } from '../../../usecases/estimates/read-estimates.ts';
import { sendEstimate, withdrawEstimate } from '../../../usecases/estimates/send-estimate.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { versionIn } from '../shop/form-body.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { mayRecord, renderFor, showPage } from '../shop/shop-page.ts';
import { estimatesSheet } from './book-sheet.ts';
import { changeIn, fieldAt } from './estimate-shape.ts';
import { estimateSheet } from './estimate-sheet.ts';

const LARGEST = 64 * 1024;

type Speaking = { readonly caller: Visitor; readonly voice: Voice };

/** Estimates: made from the work that is open on a car, put right, sent, answered and taken back. */
export function estimatePages(app: FastifyInstance, context: Context): void {
  const page = async (
    { caller, voice }: Speaking,
    id: string,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const records = mayRecord(caller);
    const view = {
      records,
      sends: hasRight(caller, 'keep-owners'),
      done,
      once: freshOnce(),
      sent,
    };
    const facts = await readEstimate(context, caller, id);
    return renderFor(caller, 'estimate', ...estimateSheet(facts, view, voice));
  };
  const again = (sending: Sending, sent: Sent) => page(sending, sending.params.id, undefined, sent);
  const back = ({ params }: Sending) => `/estimates/${params.id}`;
  showPage(app, context, '/estimates', async ({ caller, query, voice }) => {
    const asked = Number(query('below'));
    const below = Number.isInteger(asked) && asked > 0 && asked < 2 ** 31 ? asked : undefined;
    const { items, next, today } = await readEstimateBook(context, caller, below);
    return renderFor(caller, 'estimates', ...estimatesSheet(items, next, today, voice));
  });
  showPage(app, context, '/estimates/:id', (asking) =>
    page(asking, asking.id, asking.query('done'), null),
  );
  answerForm(app, context, {
    path: '/cars/:id/estimates',
    record: async ({ caller, params }) => {
      const { id } = await makeEstimate(context, caller, params.id);
      return { to: `/estimates/${id}?done=made` };
    },
    show: async ({ caller, voice }, { faults }) =>
      renderFor(
        caller,
        'estimate-refused',
        {
          lang: voice.language,
          title: voice.say('estimates.refused.title'),
          nav: { here: 'faults' },
        },
        { words: faults.map(({ words }) => words) },
      ),
  });
  answerForm(app, context, {
    path: '/estimates/:id',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      const { estimate } = await readEstimate(context, caller, params.id);
      const typed = changeIn(form, estimate.currency);
      await changeEstimate(context, caller, params.id, typed, versionIn(form));
      return { to: `/estimates/${params.id}?done=kept` };
    },
    show: again,
    fieldAt,
  });
  answerForm(app, context, {
    path: '/estimates/:id/send',
    needs: 'keep-owners',
    record: async ({ caller, params, form }) => {
      await sendEstimate(context, caller, params.id, versionIn(form));
      return { to: `/estimates/${params.id}?done=sent` };
    },
    show: (sending, { faults }) =>
      page(sending, sending.params.id, undefined, { typed: {}, faults }),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('estimates.sure.send'),
      button: ({ voice }) => voice.say('estimates.sure.send.button'),
      words: async ({ caller, params, voice: { say } }) => {
        const { estimate, reader } = await readEstimate(context, caller, params.id);
        const { ownerName: owner, registration: car } = reader;
        return [
          say('estimates.sure.whom', { number: String(estimate.number), owner, car }),
          say('estimates.sure.binding'),
          ...(estimate.replaces === null ? [] : [say('estimates.sure.before')]),
        ];
      },
      back,
    },
  });
  answerForm(app, context, {
    path: '/estimates/:id/withdraw',
    record: async ({ caller, params, form }) => {
      await withdrawEstimate(context, caller, params.id, versionIn(form));
      return { to: `/estimates/${params.id}?done=withdrawn` };
    },
    show: again,
    first: {
      always: true,
      heading: ({ voice }) => voice.say('estimates.sure.end'),
      button: ({ voice }) => voice.say('estimates.sure.end.button'),
      words: ({ voice }) => [voice.say('estimates.sure.end.words')],
      back,
    },
  });
  answerForm(app, context, {
    path: '/estimates/:id/answer',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      const reply = { accepted: new Set(takenIn(form)) };
      const version = versionIn(form);
      await answerEstimate(context, caller, params.id, reply, { version, late: true });
      return { to: `/estimates/${params.id}?done=answered` };
    },
    show: again,
  });
  answerForm(app, context, {
    path: '/estimates/:id/redraft',
    record: async ({ caller, params }) => {
      const { id } = await redraftEstimate(context, caller, params.id);
      return { to: `/estimates/${id}?done=redrafted` };
    },
    show: again,
  });
}

/** The lines of the work that was ticked; none where all was declined at one press. */
export function takenIn(form: SmallForm): string[] {
  if (form['answer'] === 'none') return [];
  const prefix = form['answer'] === 'all' ? 'of/' : 'take/';
  return Object.keys(form).flatMap((name) =>
    name.startsWith(prefix) ? [name.slice(prefix.length)] : [],
  );
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'estimate-refused': { readonly words: readonly string[] };
  }
}
