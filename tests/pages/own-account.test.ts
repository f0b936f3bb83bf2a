import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { invite, inviteAgain } from '../../src/usecases/people/invite.ts';
import { comer } from '../people/comers.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';
import { browse } from './link-for.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

it('says to whoever signed in with a key that it is not their own account', async () => {
  const words = wordsOf((await (await openDesk(shop)).open('/me')).html);
  expect(words).toContain('You signed in with a key of the organisation, not as yourself.');
  expect(words).not.toContain('nobody');
});

it('lets everybody choose the language that pages and mails speak to them in', async () => {
  const one = await comer(shop, 'manager');
  const other = await comer(shop, 'desk');
  const own = { origin: 'https://care.example.org', 'sec-fetch-site': 'same-origin' };
  const open = (url: string, { cookie }: { cookie: string }) =>
    browse(shop, 'GET', url, undefined, { cookie });
  const choose = async (language: string) => {
    const { html } = await open('/me', one);
    const fields = { ...fieldsIn(html, '/me/language'), language };
    return browse(shop, 'POST', '/me/language', fields, { cookie: one.cookie, ...own });
  };
  expect((await open('/today', one)).html).toContain('<html lang="en">');
  expect((await choose('de')).headers.location).toBe('/me?done=language');
  expect((await open('/today', one)).html).toContain('<html lang="de">');
  expect((await open('/me', one)).html).toMatch(/<option value="de" selected>/);
  // It is theirs alone: the house and whoever else signs in to it keep theirs.
  expect((await open('/today', other)).html).toContain('<html lang="en">');
  expect((await choose('xx')).status).toBe(400);
  expect((await choose('')).headers.location).toBe('/me?done=language');
  expect((await open('/today', one)).html).toContain('<html lang="en">');
});

it('invites in the language of the house, and again in the one that somebody chose', async () => {
  const { context } = shop;
  await comer(shop, 'desk');
  const person = await context.store.records.person.findFirstOrThrow();
  const caller = programCaller(person.organisationId, 'test');
  const sent: { subject: string; text: string; html: string }[] = [];
  const post = async (message: (typeof sent)[number]) => sent.push(message) > 0;
  const wish = { name: 'Bo Hinge', email: 'bo@example.org', role: 'desk' } as const;
  await invite(context, caller, wish, post);
  await inviteAgain(context, caller, person.id, post);
  await context.store.writeSql((sql) => sql.run(`UPDATE "person" SET "language" = 'de'`, []));
  await inviteAgain(context, caller, person.id, post);
  await context.store.writeSql((sql) => sql.run(`UPDATE "organisation" SET "language" = 'de'`, []));
  await invite(context, caller, wish, post);
  expect(sent.map(({ subject }) => subject)).toEqual([
    'Your invitation to sign in',
    'Set up how you sign in',
    'Neu einrichten, wie Sie sich anmelden',
    'Ihre Einladung zur Anmeldung',
  ]);
  expect(sent[3]?.html).toContain('<html lang="de">');
  expect(sent[3]?.text).toMatch(/^Guten Tag Bo Hinge,/);
  // Seven days on, on the clock of the house.
  expect(sent[0]?.text).toContain('until Friday, 19 June 2026 at 10:00');
  expect(sent[3]?.text).toContain('bis Freitag, 19. Juni 2026 um 10:00');
});
