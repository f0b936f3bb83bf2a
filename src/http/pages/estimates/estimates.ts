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
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { versionIn } from '../shop/form-body.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { mayRecord, renderFor, showPage } from '../shop/shop-page.ts';
import { estimatesSheet } from './book-sheet.ts';
import { changeIn, fieldAt } from './estimate-form.ts';
import { estimateSheet } from './estimate-sheet.ts';

const LARGEST = 64 * 1024;

/** Estimates: made from the work that is open on a car, put right, sent, answered and taken back. */
export function estimatePages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, done: string | undefined, sent: Sent | null) => {
    const records = mayRecord(caller);
    const looking = {
      records,
      sends: hasRight(caller, 'keep-owners'),
      done,
      once: freshOnce(),
      sent,
    };
    const facts = await readEstimate(context, caller, id);
    return renderFor(caller, 'estimate', ...estimateSheet(facts, looking));
  };
  const again = ({ caller, params }: Sending, sent: Sent) =>
    page(caller, params.id, undefined, sent);
  const back = ({ params }: Sending) => `/estimates/${params.id}`;
  showPage(app, context, '/estimates', async ({ caller, query }) => {
    const asked = Number(query('below'));
    const below = Number.isInteger(asked) && asked > 0 && asked < 2 ** 31 ? asked : undefined;
    const { items, next, today } = await readEstimateBook(context, caller, below);
    return renderFor(caller, 'estimates', ...estimatesSheet(items, next, today));
  });
  showPage(app, context, '/estimates/:id', ({ caller, id, query }) =>
    page(caller, id, query('done'), null),
  );
  answerForm(app, context, {
    path: '/cars/:id/estimates',
    record: async ({ caller, params }) => {
      const { id } = await makeEstimate(context, caller, params.id);
      return { to: `/estimates/${id}?done=made` };
    },
    show: async ({ caller }, { faults }) =>
      renderFor(
        caller,
        'estimate-refused',
        {
          lang: 'en',
          title: 'No estimate',
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
      const said = changeIn(form, estimate.currency);
      await changeEstimate(context, caller, params.id, said, versionIn(form));
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
    show: ({ caller, params }, { faults }) =>
      page(caller, params.id, undefined, { typed: {}, faults }),
    first: {
      always: true,
      heading: 'Send this estimate?',
      button: 'Send it',
      words: async ({ caller, params }) => {
        const { estimate, reader } = await readEstimate(context, caller, params.id);
        const waits =
          estimate.replaces === null ? [] : ['The one before ends with it: its link says so.'];
        return [
          `Estimate ${estimate.number} for ${reader.ownerName}, ${reader.registration}.`,
          'From now on it can be accepted as it stands. Where no letter is named below, the owner cannot be written to: print it and hand it over.',
          ...waits,
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
      heading: 'Take this estimate back?',
      button: 'Take it back',
      words: () => ['It is kept, and nobody can accept it any more. A link to it says so.'],
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
