import { expect, it } from 'vitest';
import { addMinutes } from '../../src/domain/calendar/instant.ts';
import { invite } from '../../src/usecases/people/invite.ts';
import { changeRole, partWith } from '../../src/usecases/people/people.ts';
import { makeRecoveryCodes } from '../../src/usecases/people/recovery-codes.ts';
import { setOwnPassword } from '../../src/usecases/people/own-means.ts';
import { personOfToken } from '../../src/usecases/people/sessions.ts';
import { actingAs } from '../../src/usecases/context/acting.ts';
import { makeOwnerLink, revokeOwnerLinks } from '../../src/usecases/owners/owner-links.ts';
import { insertPasskey, removePasskey } from '../../src/store/people/means-rows.ts';
import { wordsOf } from '../pages/desk.ts';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import { fitted } from '../setup/workshop.ts';
import { codeAt, comer, PASSWORD } from './comers.ts';

interface Entry {
  readonly kind: string;
  readonly action: string;
  readonly of: string;
  readonly author: string;
  readonly authorName: string;
  readonly was: Record<string, unknown> | null;
  readonly becomes: Record<string, unknown> | null;
}

const inWords = ({ kind, of, action, was }: Entry) =>
  `${kind} ${of} ${action} ${Object.keys(was ?? {})
    .sort()
    .join(' ')}`.trim();

eachDatabase('the trail of people and keys', ({ open }) => {
  it('tells who invited, joined, got which role and means, and never a secret', async () => {
    const shop = await open('2026-06-12T09:00:00.000Z');
    const { context } = shop;
    const boss = await comer(shop, 'manager');
    const visitor = await personOfToken(context, boss.cookie.split('=')[1] ?? '');
    if (visitor?.self === undefined) throw new Error('nobody came in');
    const { self } = visitor;
    const asBoss = <T>(work: () => Promise<T>) => actingAs(context, visitor, work);
    const fitter = { name: 'Bo Hinge', email: 'bo@example.org', role: 'fitter' } as const;
    await asBoss(() => invite(context, visitor, fitter, null));
    const desk = await comer(shop, 'desk');
    const { id } = await context.store.records.person.findFirstOrThrow({
      where: { email: desk.email },
    });
    await asBoss(() => changeRole(context, visitor, id, 'fitter'));
    const codes = await asBoss(() => makeRecoveryCodes(context, self));
    shop.setNow(addMinutes(context.now(), 1));
    const means = { password: `${PASSWORD} anew`, secret: boss.secret };
    const code = await codeAt(shop, boss.secret);
    await asBoss(() => setOwnPassword(context, self, { ...means, code }));
    const passkey = {
      id: 'passkey-1',
      personId: self.personId,
      credentialId: 'the-credential',
      publicKey: 'the-public-key',
      counter: 0,
      transports: '[]',
      name: 'bench tablet',
      createdAt: context.now(),
      lastUsedAt: null,
    };
    await asBoss(() => context.store.writeSql((sql) => insertPasskey(sql, passkey)));
    await asBoss(() =>
      context.store.writeSql((sql) => removePasskey(sql, self.personId, 'passkey-1')),
    );
    await asBoss(() => partWith(context, visitor, id));

    const { items } = (await shop.get('/v1/trail?limit=100')).body as { items: Entry[] };
    const told = items.filter(({ author }) => author === visitor.author.id);
    expect(told.map(inWords)).toEqual([
      'person The desk changed endedAt',
      'person The desk changed passwordSetAt',
      'passkey The manager removed createdAt id name personId',
      'passkey The manager recorded',
      'person The manager changed passwordSetAt',
      'person The manager changed recoveryCodesMadeAt',
      'person The desk changed role',
      'invitation Bo Hinge recorded',
      // Coming in, by the link.
      'person The manager changed passwordSetAt',
      'person The manager recorded',
      'invitation The manager changed usedAt',
    ]);
    expect(told.every(({ authorName }) => authorName === 'The manager')).toBe(true);
    expect(told[6]).toMatchObject({ was: { role: 'desk' }, becomes: { role: 'fitter' } });
    const all = JSON.stringify(await context.store.records.trailEntry.findMany());
    for (const secret of [
      '$argon2id$',
      boss.secret,
      'the-credential',
      'the-public-key',
      codes[0] ?? '',
      'bo@example.org',
      desk.email,
    ]) {
      expect(all).not.toContain(secret);
    }

    const browser = { cookie: boss.cookie };
    for (const page of ['/people', '/trail/people', '/trail.csv?about=people']) {
      expect((await browse(shop, 'GET', page, undefined, browser)).html).toContain('The desk');
    }
    const own = wordsOf((await browse(shop, 'GET', '/me', undefined, browser)).html);
    expect(own).toContain('recovery codes made nothing → Friday, 12 June 2026 at 10:00');
    await shop.close();
  });

  it('shows what is about people and keys to those alone who keep them', async () => {
    const shop = await open('2026-06-12T09:00:00.000Z');
    const { carId } = await fitted(shop);
    const [boss, fitter] = [await comer(shop, 'manager'), await comer(shop, 'fitter')];
    const page = async (path: string, cookie: string) =>
      browse(shop, 'GET', path, undefined, { cookie });
    for (const path of ['/trail', '/trail.csv']) {
      expect((await page(path, boss.cookie)).html).toContain('The fitter');
      const narrow = (await page(path, fitter.cookie)).html;
      expect(narrow).not.toMatch(/invitation|passkey|access.key “|person “/);
      expect(narrow).toContain(path === '/trail' ? 'car recorded' : carId);
    }
    for (const path of ['/trail/people', '/trail.csv?about=people', '/sign-ins']) {
      expect((await page(path, fitter.cookie)).status).toBe(403);
    }
    shop.key = await shop.keyFor('Elmyard Soft Tops', 'read');
    const { items } = (await shop.get('/v1/trail')).body as { items: Entry[] };
    expect(items.some(({ kind }) => kind === 'invitation' || kind === 'access_key')).toBe(false);
    await shop.close();
  });

  it('tells of links made by hand and of their end, once for all of them, and of no letter’s', async () => {
    const shop = await open('2026-06-12T09:00:00.000Z');
    const { context } = shop;
    const { ownerId } = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
    await shop.post('/v1/round');
    expect(await context.store.records.link.count()).toBeGreaterThan(0);
    const { organisationId } = await context.store.records.owner.findFirstOrThrow();
    const author = { id: 'person:x', name: 'Cy Latch' };
    const caller = { organisationId, keyId: 'x', scope: 'full', author } as const;
    await actingAs(context, caller, () => makeOwnerLink(context, caller, ownerId));
    await actingAs(context, caller, () => revokeOwnerLinks(context, caller, ownerId));
    const { items } = (await shop.get(`/v1/trail?ownerId=${ownerId}`)).body as { items: Entry[] };
    expect(items.map((entry) => `${entry.authorName} ${inWords(entry)}`)).toEqual([
      'Cy Latch owner  changed linksRevokedAt',
      'Cy Latch link  changed revokedAt',
      'Cy Latch link  recorded',
      expect.stringContaining('owner  recorded'),
    ]);
    await shop.close();
  });
});
