import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import { changeOwner } from '../../../usecases/owners/change-owner.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { readOwnerDesk } from '../../../usecases/owner-door/owner-desk.ts';
import { makeOwnerLink } from '../../../usecases/owners/owner-links.ts';
import { showOwner } from '../../../usecases/owners/read-owners.ts';
import { line, ownerFields } from '../../../usecases/records/record-fields.ts';
import type { Sent } from '../frame/form.ts';
import { ownerDeskSheet, ownerLinkSheet } from './owner-desk-sheet.ts';
import { isTicked, readBy, textIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import type { SmallForm } from '../frame/small-form.ts';

const LARGEST = 8 * 1024;
const whole = z.strictObject({ ...ownerFields, phone: line(50).nullable() });

/** The shop's page of an owner: the address put right, and links to log with. */
export function ownerDeskPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, done: string | undefined, sent: Sent | null) => {
    const looking = { records: hasRight(caller, 'keep-owners'), done, once: freshOnce(), sent };
    const facts = await readOwnerDesk(context, caller, id);
    return renderFor(caller, 'owner-desk', ...ownerDeskSheet(facts, looking));
  };
  showPage(app, context, '/owners/:id', ({ caller, id, query }) =>
    page(caller, id, query('done'), null),
  );
  answerForm(app, context, {
    path: '/owners/:id',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      await showOwner(context, caller, params.id);
      const said = readBy(whole, { phone: null, ...ownerIn(form) });
      await changeOwner(context, caller, params.id, said, versionIn(form));
      return { to: `/owners/${params.id}?done=changed` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, undefined, sent),
  });
  answerForm(app, context, {
    path: '/owners/:id/links',
    needs: 'keep-owners',
    record: async ({ caller, params }) => {
      const owner = await showOwner(context, caller, params.id);
      const { url } = await makeOwnerLink(context, caller, owner.id);
      const path = url.slice(context.publicUrl.length);
      return { page: renderFor(caller, 'owner-link', ...ownerLinkSheet(owner, url, path)) };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, undefined, sent),
  });
}

/** What a form says of an owner; fields that are empty are left out. */
export function ownerIn(form: SmallForm, at: (name: string) => string = (name) => name) {
  const phone = textIn(form, at('phone'));
  return {
    name: textIn(form, at('name')) ?? '',
    email: textIn(form, at('email')) ?? '',
    ...(phone === undefined ? {} : { phone }),
    timeZone: textIn(form, at('timeZone')) ?? '',
    language: textIn(form, at('language')) ?? '',
    refusesCalls: isTicked(form, at('refusesCalls')),
  };
}
