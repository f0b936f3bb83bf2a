import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { email, line, prose } from '../../../usecases/records/record-fields.ts';
import { changeOrganisation } from '../../../usecases/settings/change-organisation.ts';
import type { Trial } from '../../../usecases/settings/start-guide.ts';
import { readStart, sendTrial } from '../../../usecases/settings/start-guide.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { readBy, textIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import { refuseForm, refuseRight, renderFor, showPage } from '../shop/shop-page.ts';
import { startSheet } from './start-sheet.ts';

const LARGEST = 8 * 1024;
const sender = z.strictObject({
  email: email.nullable(),
  phone: line(50).nullable(),
  postalAddress: prose(400).nullable(),
});

/**
 * What a new organisation sets up, step by step, in whatever order: it can be left and opened again, and
 * says what is still missing. Nothing is locked behind it.
 */
export function startPages(app: FastifyInstance, context: Context, trial: Trial | null): void {
  const page = async (caller: Visitor, voice: Voice, sent: Sent | null) => {
    const facts = await readStart(context, caller);
    const view = { once: freshOnce(), sent, canTry: trial !== null };
    return renderFor(caller, 'start', ...startSheet(facts, view, voice));
  };
  showPage(
    app,
    context,
    '/start',
    ({ caller, voice }) => page(caller, voice, null),
    'manage-organisation',
  );
  answerForm(app, context, {
    path: '/start/sender',
    needs: 'manage-organisation',
    largest: LARGEST,
    record: async ({ caller, form }) => {
      const typed = readBy(sender, {
        email: textIn(form, 'email') ?? null,
        phone: textIn(form, 'phone') ?? null,
        postalAddress: textIn(form, 'postalAddress') ?? null,
      });
      await changeOrganisation(context, caller, typed, versionIn(form));
      return { to: '/start#sender' };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, sent),
  });
  if (trial === null) return;
  // Mail is never waited for inside a transaction; pressed twice, it is two letters and no harm.
  app.post('/start/letter', { schema: { hide: true }, bodyLimit: 1024 }, async (request, reply) => {
    if (!isOwnForm(request, context)) return refuseForm(request, reply, 403, 'form.foreign');
    const caller = await signedIn(request, context);
    if (caller === null) return reply.redirect('/sign-in', 303);
    if (!hasRight(caller, 'manage-organisation')) return refuseRight(request, reply, caller);
    await sendTrial(context, caller, trial);
    return reply.header('cache-control', 'no-store').redirect('/start#letter', 303);
  });
}
