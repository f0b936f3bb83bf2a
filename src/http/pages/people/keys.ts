import type { Voice } from '../../../views/words/voice.ts';
import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { SCOPES } from '../../../usecases/context/context.ts';
import { addKey, listKeys, revokeKey } from '../../../usecases/organisations/keys.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { line } from '../../../usecases/records/record-fields.ts';
import { readPeopleTrail } from '../../../usecases/trail/read-trail.ts';
import type { Sent } from '../frame/form.ts';
import { numberIn, readBy, textIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { trailModel } from '../shop/trail-lines.ts';
import { keyName, keySheet, keysSheet } from './keys-sheet.ts';

const LARGEST = 8 * 1024;
const CHANGES_SHOWN = 10;
const wish = z.strictObject({
  name: line(100),
  scope: z.enum(SCOPES),
  days: z.int().min(1).max(3_660).optional(),
  cars: z.array(z.string().max(40)).max(500).optional(),
});

/** Keys for programs: made, seen and ended. */
export function keyPages(app: FastifyInstance, context: Context): void {
  const page = async (
    caller: Visitor,
    voice: Voice,
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const keys = await listKeys(context, caller);
    const { timeZone } = await showOrganisation(context, caller);
    const asked = { limit: CHANGES_SHOWN };
    const { items } = await readPeopleTrail(context, caller, asked, ['access_key']);
    const view = {
      done,
      once: freshOnce(),
      sent,
      timeZone,
      trail: trailModel(items, timeZone, '', voice),
    };
    return renderFor(caller, 'keys', ...keysSheet(keys, view, voice));
  };
  showPage(
    app,
    context,
    '/keys',
    ({ caller, voice, query }) => page(caller, voice, query('done'), null),
    'keep-people',
  );
  answerForm(app, context, {
    path: '/keys',
    largest: LARGEST,
    needs: 'keep-people',
    record: async ({ caller, form, voice }) => {
      const { scope, ...rest } = readBy(wish, {
        name: textIn(form, 'name') ?? '',
        scope: textIn(form, 'scope'),
        ...(textIn(form, 'days') === 'never' ? {} : { days: numberIn(form, 'days') }),
        ...(textIn(form, 'cars') === undefined
          ? {}
          : { cars: namesIn(textIn(form, 'cars') ?? '') }),
      });
      const { days, cars } = rest;
      const { key } = await addKey(context, caller, scope, {
        name: rest.name,
        ...(days === undefined ? {} : { days }),
        ...(cars === undefined ? {} : { cars }),
      });
      return { page: renderFor(caller, 'key', ...keySheet(rest.name, key, voice)) };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, undefined, sent),
  });
  answerForm(app, context, {
    path: '/keys/:id/revoke',
    needs: 'keep-people',
    record: async ({ caller, params }) => {
      await revokeKey(context, caller, params.id);
      return { to: '/keys?done=revoked' };
    },
    show: ({ caller, voice }, sent) => page(caller, voice, undefined, sent),
    first: {
      always: true,
      heading: ({ voice }) => voice.say('keys.sure'),
      button: ({ voice }) => voice.say('keys.revoke'),
      words: async ({ caller, params, voice }) => {
        const { timeZone } = await showOrganisation(context, caller);
        const key = (await listKeys(context, caller)).find(({ id }) => id === params.id);
        const name = key === undefined ? '' : keyName(key, timeZone, voice);
        return [
          voice.say('keys.sure.so', { name }),
          ...(caller.self === undefined && caller.keyId === params.id
            ? [voice.say('keys.sure.own')]
            : []),
        ];
      },
      back: () => '/keys',
    },
  });
}

/** Registrations as people list them: on lines of their own, or with commas or semicolons between. */
function namesIn(text: string): string[] {
  return text
    .split(/[\n,;]/)
    .map((name) => name.trim())
    .filter((name) => name !== '');
}
