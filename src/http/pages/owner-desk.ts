import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { changeOwner } from '../../usecases/change-owner.ts';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { readOwnerDesk } from '../../usecases/owner-desk.ts';
import { makeOwnerLink } from '../../usecases/owner-links.ts';
import { showOwner } from '../../usecases/read-owners.ts';
import { line, ownerFields } from '../../usecases/record-fields.ts';
import type { Sent } from '../../views/pages/form.ts';
import { ownerDeskSheet, ownerLinkSheet } from '../../views/pages/owner-desk-sheet.ts';
import { renderPage } from '../../views/pages/render.ts';
import { isTicked, readBy, textIn, versionIn } from './form-body.ts';
import { answerForm, freshOnce } from './shop-form.ts';
import { mayRecord, showPage } from './shop-page.ts';
import type { SmallForm } from './small-form.ts';

const LARGEST = 8 * 1024;
const whole = z.strictObject({ ...ownerFields, phone: line(50).nullable() });

/** The shop's page of an owner: the address put right, and links to log with. */
export function ownerDeskPages(app: FastifyInstance, deed: Deed): void {
  const page = async (caller: Caller, id: string, done: string | undefined, sent: Sent | null) => {
    const looking = { records: mayRecord(caller), done, once: freshOnce(), sent };
    const facts = await readOwnerDesk(deed, caller, id);
    return renderPage('owner-desk', ...ownerDeskSheet(facts, looking));
  };
  showPage(app, deed, '/owners/:id', ({ caller, id, query }) =>
    page(caller, id, query('done'), null),
  );
  answerForm(app, deed, {
    path: '/owners/:id',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      await showOwner(deed, caller, params.id);
      const said = readBy(whole, { phone: null, ...ownerIn(form) });
      await changeOwner(deed, caller, params.id, said, versionIn(form));
      return { to: `/owners/${params.id}?done=changed` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, undefined, sent),
  });
  answerForm(app, deed, {
    path: '/owners/:id/links',
    record: async ({ caller, params }) => {
      const owner = await showOwner(deed, caller, params.id);
      const { url } = await makeOwnerLink(deed, caller, owner.id);
      const path = url.slice(deed.publicUrl.length);
      return { page: renderPage('owner-link', ...ownerLinkSheet(owner, url, path)) };
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
