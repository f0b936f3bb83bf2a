import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { Context } from '../../src/usecases/context/context.ts';
import { forgetOldAnswers } from '../../src/usecases/once/idempotent-answers.ts';
import { seal, unseal } from '../../src/usecases/context/seal.ts';
import { eachDatabase } from '../setup/databases.ts';
import { wholeDatabase } from '../setup/whole-database.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';

eachDatabase('an answer kept under Idempotency-Key', ({ open }) => {
  it('repeats a link that is shown once, and the database never holds it', async () => {
    const shop = await open(NOW);
    const { ownerId } = await fitted(shop);
    const asked = [
      [`/v1/owners/${ownerId}/links`, { purpose: 'owner-page' }],
      ['/v1/feeds', {}],
    ] as const;
    for (const [path, body] of asked) {
      const once = { 'idempotency-key': `"${path}"` };
      const made = await shop.post(path, body, once);
      expect(made.status).toBe(201);
      const token = /[\w-]{43}/.exec(made.body.url)?.[0] ?? '';
      expect(token).toHaveLength(43);
      expect(await wholeDatabase(shop.context)).not.toContain(token);
      const again = await shop.post(path, body, once);
      expect(again).toMatchObject({ status: 201, body: made.body });
      expect(again.headers['idempotency-replayed']).toBe('true');
    }
    const links = (await wholeDatabase(shop.context)).match(/"purpose":"(owner-page|diary)"/g);
    expect(links).toHaveLength(2);
    await shop.close();
  });

  it('holds nobody, and no letter', async () => {
    const shop = await open(NOW);
    const owner = { name: 'Quillon Ferrant', email: 'quillon@example.org' };
    await shop.post('/v1/owners', owner, { 'idempotency-key': '"who"' });
    await fitted(shop, { top: { fittedOn: '2025-06-10' } });
    const round = await shop.post('/v1/round', {}, { 'idempotency-key': '"round"' });
    expect(round.body.letters.length).toBeGreaterThan(0);
    const kept = await keptAnswers(shop.context);
    expect(kept).toHaveLength(2);
    for (const text of ['Quillon', 'quillon', 'Ada Quill', 'care.example.org']) {
      expect(JSON.stringify(kept)).not.toContain(text);
    }
    await shop.close();
  });

  it('goes at a start where it is old, was never given, or was kept unsealed', async () => {
    const shop = await open(NOW);
    const ask = (key: string) => shop.post('/v1/feeds', {}, { 'idempotency-key': `"${key}"` });
    for (const key of ['good', 'old', 'plain', 'unended']) await ask(key);
    const changed = {
      old: `"createdAt" = '2026-06-11T08:59:00.000Z'`,
      plain: `"body" = '{"url":"https://care.example.org/calendar/x.ics"}'`,
      unended: `"status" = NULL, "body" = NULL`,
    };
    await shop.context.store.writeSql(async (sql) => {
      for (const [key, to] of Object.entries(changed)) {
        await sql.run(`UPDATE "idempotent_answer" SET ${to} WHERE "key" = ?`, [key]);
      }
    });
    await forgetOldAnswers(shop.context);
    expect((await keptAnswers(shop.context)).map(({ key }) => key)).toEqual(['good']);
    await shop.close();
  });
});

function keptAnswers(context: Context): Promise<{ key: string }[]> {
  return context.store.sql.all('SELECT * FROM "idempotent_answer"');
}

it('what is sealed opens for its secret and its purpose alone, and whole', () => {
  fc.assert(
    fc.property(fc.string(), fc.string(), fc.string(), fc.nat(), (secret, about, text, at) => {
      const sealed = seal(secret, about, text);
      expect(unseal(secret, about, sealed)).toBe(text);
      expect(unseal(`${secret}x`, about, sealed)).toBeNull();
      expect(unseal(secret, `${about}x`, sealed)).toBeNull();
      const bytes = Buffer.from(sealed, 'base64url');
      const place = at % bytes.length;
      bytes[place] = (bytes[place] ?? 0) ^ 1;
      expect(unseal(secret, about, bytes.toString('base64url'))).toBeNull();
      expect(seal(secret, about, text)).not.toBe(sealed);
    }),
  );
  expect(unseal('secret', 'about', '')).toBeNull();
});
