import type { Voice } from '../../../views/words/voice.ts';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { ROLES } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import type { Invited, Post } from '../../../usecases/people/invite.ts';
import {
  invite,
  inviteAgain,
  listInvitations,
  takeBackInvitation,
} from '../../../usecases/people/invite.ts';
import {
  changeRole,
  listPeople,
  partWith,
  signOutPerson,
} from '../../../usecases/people/people.ts';
import { email, line } from '../../../usecases/records/record-fields.ts';
import { readPeopleTrail } from '../../../usecases/trail/read-trail.ts';
import type { Sent } from '../frame/form.ts';
import { readBy, textIn } from '../shop/form-body.ts';
import type { Recorded } from '../shop/form-once.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { trailModel } from '../shop/trail-lines.ts';
import { invitedSheet, peopleSheet } from './people-sheet.ts';

const CHANGES_SHOWN = 10;
const role = z.enum(ROLES);
const wish = z.strictObject({ name: line(100), email, role });

/** The people of an organisation: invited, given roles, signed out and parted with. */
export function peoplePages(app: FastifyInstance, context: Context, post: Post | null): void {
  const page = async (
    caller: Visitor,
    voice: Voice,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const people = await listPeople(context, caller);
    const invitations = await listInvitations(context, caller);
    const { timeZone } = await showOrganisation(context, caller);
    const { items } = await readPeopleTrail(context, caller, { limit: CHANGES_SHOWN });
    const trail = trailModel(items, timeZone, '', voice);
    const view = { done, once: freshOnce(), sent, own: caller.self?.personId ?? null, trail };
    return renderFor(caller, 'people', ...peopleSheet(people, invitations, view, voice));
  };
  const invited = ({ caller, voice }: Sending, name: string, { mailed, url }: Invited): Recorded =>
    mailed || url === null
      ? { to: '/people?done=mailed' }
      : { page: renderFor(caller, 'invited', ...invitedSheet(name, url, voice)) };
  const form = (path: string, record: (sending: Sending) => Promise<Recorded>) =>
    answerForm(app, context, {
      path,
      needs: 'keep-people',
      record,
      show: ({ caller, voice }, sent) => page(caller, voice, undefined, sent),
    });

  showPage(
    app,
    context,
    '/people',
    ({ caller, voice, query }) => page(caller, voice, query('done'), null),
    'keep-people',
  );
  form('/people', async (sending) => {
    const { caller, form: sent } = sending;
    const typed = readBy(wish, {
      name: textIn(sent, 'name') ?? '',
      email: textIn(sent, 'email') ?? '',
      role: textIn(sent, 'role'),
    });
    return invited(sending, typed.name, await invite(context, caller, typed, post));
  });
  form('/people/:id/role', async ({ caller, params, form: sent }) => {
    const typed = readBy(z.strictObject({ role }), { role: textIn(sent, 'role') });
    await changeRole(context, caller, params.id, typed.role);
    return { to: '/people?done=role' };
  });
  form('/people/:id/invite', async (sending) => {
    const { caller, params } = sending;
    const again = await inviteAgain(context, caller, params.id, post);
    return invited(sending, '', again);
  });
  form('/people/:id/sign-out', async ({ caller, params }) => {
    await signOutPerson(context, caller, params.id);
    return { to: '/people?done=signed-out' };
  });
  form('/people/:id/part', async ({ caller, params }) => {
    await partWith(context, caller, params.id);
    return { to: '/people?done=parted' };
  });
  form('/invitations/:id/take-back', async ({ caller, params }) => {
    await takeBackInvitation(context, caller, params.id);
    return { to: '/people?done=taken-back' };
  });
}
