import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import { bringCarBack } from '../../../usecases/cars/remove-car.ts';
import { eraseOwner } from '../../../usecases/owners/erase-owner.ts';
import { changeOwner } from '../../../usecases/owners/change-owner.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { readOwnerDesk } from '../../../usecases/owner-door/owner-desk.ts';
import { makeOwnerLink, revokeOwnerLinks } from '../../../usecases/owners/owner-links.ts';
import { showOwner } from '../../../usecases/owners/read-owners.ts';
import { line, ownerFields, prose } from '../../../usecases/records/record-fields.ts';
import type { Sent } from '../frame/form.ts';
import { ownerDeskSheet, ownerLinkSheet } from './owner-desk-sheet.ts';
import { isTicked, readBy, textIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import type { SmallForm } from '../frame/small-form.ts';
import type { Voice } from '../../../views/words/voice.ts';

const LARGEST = 8 * 1024;
const whole = z.strictObject({
  ...ownerFields,
  phone: line(50).nullable(),
  postalAddress: prose(500).nullable().optional(),
  postcode: line(20).nullable().optional(),
});

// A field that was emptied is left out of what the form says.
const NOTHING = { phone: null, postalAddress: null, postcode: null };

/** The shop's page of an owner: the address put right, and links to log with, and cars that were removed brought back. */
export function ownerDeskPages(app: FastifyInstance, context: Context): void {
  const page = async (
    { caller, voice }: { readonly caller: Visitor; readonly voice: Voice },
    id: string,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const view = {
      records: hasRight(caller, 'keep-owners'),
      exports: hasRight(caller, 'keep-people'),
      done,
      once: freshOnce(),
      sent,
    };
    const facts = await readOwnerDesk(context, caller, id);
    return renderFor(caller, 'owner-desk', ...ownerDeskSheet(facts, view, voice));
  };
  showPage(app, context, '/owners/:id', (asking) =>
    page(asking, asking.id, asking.query('done'), null),
  );
  answerForm(app, context, {
    path: '/owners/:id',
    needs: 'keep-owners',
    largest: LARGEST,
    record: async ({ caller, params, form }) => {
      await showOwner(context, caller, params.id);
      const { kind } = await showOrganisation(context, caller);
      // What was not asked is left as it is.
      const nothing = kind === 'private' ? { phone: null } : NOTHING;
      const typed = readBy(whole, { ...nothing, ...ownerIn(form) });
      await changeOwner(context, caller, params.id, typed, versionIn(form));
      return { to: `/owners/${params.id}?done=changed` };
    },
    show: (sending, sent) => page(sending, sending.params.id, undefined, sent),
    first: {
      always: false,
      heading: ({ voice }) => voice.say('owner-desk.sure.keep'),
      button: ({ voice }) => voice.say('owner-desk.sure.keep.button'),
      words: ({ voice }) => [voice.say('owner-desk.sure.letters')],
      back: ({ params }) => `/owners/${params.id}`,
    },
  });
  answerForm(app, context, {
    path: '/owners/:id/erase',
    record: async ({ caller, params, form }) => {
      await eraseOwner(context, caller, params.id, versionIn(form));
      return { to: '/tops?done=erased' };
    },
    show: (sending, sent) => page(sending, sending.params.id, undefined, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('owner-desk.sure.erase'),
      button: ({ voice }) => voice.say('owner-desk.sure.erase.button'),
      words: async ({ caller, params, voice: { say } }) => {
        const { owner, cars } = await readOwnerDesk(context, caller, params.id);
        const plates = cars.map(({ registration }) => registration).join(', ');
        return [
          say('owner-desk.sure.gone', { name: owner.name }),
          cars.length === 0
            ? say('owner-desk.sure.no-car')
            : say('owner-desk.sure.cars', { cars: plates }),
          say('owner-desk.sure.refused'),
          say('owner-desk.sure.backups'),
        ];
      },
      back: ({ params }) => `/owners/${params.id}`,
    },
  });
  answerForm(app, context, {
    path: '/owners/:id/cars/:entryId/back',
    needs: 'keep-owners',
    record: async ({ caller, params }) => {
      await showOwner(context, caller, params.id);
      const car = await bringCarBack(context, caller, params.entryId);
      return { to: `/cars/${car.id}?done=brought-back` };
    },
    show: (sending, sent) => page(sending, sending.params.id, undefined, sent),
  });
  answerForm(app, context, {
    path: '/owners/:id/links',
    needs: 'keep-owners',
    record: async ({ caller, params, form, voice }) => {
      const owner = await showOwner(context, caller, params.id);
      const what = textIn(form, 'what') ?? 'more';
      if (what !== 'more') await revokeOwnerLinks(context, caller, owner.id);
      if (what === 'revoke') return { to: `/owners/${owner.id}?done=revoked` };
      const carId = textIn(form, 'car') ?? null;
      const { url } = await makeOwnerLink(context, caller, owner.id, { carId });
      const path = url.slice(context.publicUrl.length);
      return { page: renderFor(caller, 'owner-link', ...ownerLinkSheet(owner, url, path, voice)) };
    },
    show: (sending, sent) => page(sending, sending.params.id, undefined, sent),
  });
}

/** What a form says of an owner; fields that are empty are left out. */
export function ownerIn(form: SmallForm, at: (name: string) => string = (name) => name) {
  const phone = textIn(form, at('phone'));
  const postalAddress = textIn(form, at('postalAddress'));
  const postcode = textIn(form, at('postcode'));
  return {
    name: textIn(form, at('name')) ?? '',
    email: textIn(form, at('email')) ?? '',
    ...(phone === undefined ? {} : { phone }),
    ...(postalAddress === undefined ? {} : { postalAddress }),
    ...(postcode === undefined ? {} : { postcode }),
    timeZone: textIn(form, at('timeZone')) ?? '',
    language: textIn(form, at('language')) ?? '',
    refusesCalls: isTicked(form, at('refusesCalls')),
  };
}
