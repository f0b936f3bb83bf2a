import { expect, it } from 'vitest';
import { reportAbout } from '../bounces/returned.ts';
import { eachDatabase } from '../setup/databases.ts';
import { wholeDatabase } from '../setup/whole-database.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const OWNER = {
  name: 'Isolde Zimmertal',
  email: 'isolde.zimmertal@quarrymail.example.org',
  phone: '020 7946 0958',
};
const OLD_ADDRESS = 'izzy@before.example.net';
const ON_CALL = 'sister lives in Marrowfield, ring after six';

/**
 * What of the person must be nowhere any more, in any case. Fewer signs would be found by chance in
 * ids and hashes.
 */
const PERSON = ['isolde', 'zimmertal', 'quarrymail', 'izzy@', '7946 0958', 'marrowfield'];

function found(database: string): string[] {
  const text = database.toLowerCase();
  return PERSON.filter((one) => text.includes(one));
}

eachDatabase('an owner who is erased', ({ open }) => {
  const erase = (shop: Workshop, ownerId: string) =>
    shop.call('DELETE', `/v1/owners/${ownerId}`, undefined, { 'if-match': '*' });
  const patch = (shop: Workshop, path: string, body: object) =>
    shop.call('PATCH', path, body, { 'if-match': '*' });

  /** A year with this owner in which everything is recorded that can name a person. */
  async function aYearWith(shop: Workshop) {
    const once = (key: string) => ({ 'idempotency-key': `"${key}"` });
    const owner = { ...OWNER, email: OLD_ADDRESS };
    const who = await shop.post('/v1/owners', owner, once('who'));
    const ownerId: string = who.body.id;
    const car = {
      ownerId,
      registration: 'FK 77',
      handbook: {},
      keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    };
    const { body: made } = await shop.post('/v1/cars', car);
    const carId: string = made.id;
    const { body: top } = await shop.post('/v1/tops', {
      carId,
      fittedOn: '2025-05-10',
      framePattern: 'four-seat-manual',
      cover: { material: 'cloth' },
      window: 'glass',
    });
    await shop.post('/v1/round', {}, once('round'));
    await patch(shop, `/v1/owners/${ownerId}`, { email: OWNER.email });
    await shop.post('/v1/round', {});
    const letters = await shop.get(`/v1/letters?carId=${carId}&state=planned`);
    const [letter] = letters.body.items;
    expect(letter.to).toEqual({ name: OWNER.name, address: OWNER.email });
    await answered(shop, letter.id, `250 2.1.5 <${OWNER.email}> accepted`);
    const visits = `/v1/tops/${top.id}/visits`;
    const notes = `Mrs Zimmertal asks to be rung on ${OWNER.phone}; left ram weeps.`;
    await shop.post(visits, { kind: 'look', plannedOn: '2026-07-06', notes });
    const findings = [{ text: 'hem torn, says Isolde', advised: `sew; ask ${OWNER.email}` }];
    await shop.post(visits, { kind: 'look', doneOn: '2026-06-11', findings });
    await shop.post('/v1/calls', { carId, outcome: 'message-left', notes: ON_CALL });
    await shop.post(`/v1/owners/${ownerId}/links`, { purpose: 'owner-page' }, once('link'));
    await shop.post(`/v1/owners/${ownerId}/standing/clear`, { words: `${OWNER.name} wrote back` });
    const wish = { refused: ['reminders'], words: `Isolde Zimmertal by phone: no more, please.` };
    const path = `/v1/owners/${ownerId}/preferences`;
    await shop.call('PUT', path, wish, { 'if-match': '*' });
    await shop.get(`/v1/owners/${ownerId}`);
    return { ownerId, carId, topId: top.id as string, letterId: letter.id as string };
  }

  it('is nowhere in the database, while the work on the car stays', async () => {
    const shop = await open(NOW);
    const { ownerId, carId, topId } = await aYearWith(shop);
    expect(found(await wholeDatabase(shop.context)).sort()).toEqual([...PERSON].sort());
    expect((await erase(shop, ownerId)).status).toBe(204);
    expect(found(await wholeDatabase(shop.context))).toEqual([]);
    const visits = (await shop.get(`/v1/tops/${topId}/visits`)).body.items;
    expect(visits).toHaveLength(2);
    const [booked, done] = visits;
    expect(booked.notes).toBe('Mrs (erased) asks to be rung on (erased); left ram weeps.');
    expect(done.findings).toMatchObject([
      { text: 'hem torn, says (erased)', advised: 'sew; ask (erased)' },
    ]);
    const letters = (await shop.get(`/v1/letters?carId=${carId}`)).body.items;
    expect(letters.length).toBeGreaterThan(1);
    for (const { to, state, response } of letters) {
      expect(to).toEqual({ name: 'erased', address: 'erased@example.invalid' });
      expect(['cancelled', 'delivered']).toContain(state);
      expect(response).toBeNull();
    }
    await shop.close();
  });

  it('is told apart from a repetition of what was asked before', async () => {
    const shop = await open(NOW);
    const { ownerId } = await aYearWith(shop);
    await erase(shop, ownerId);
    const owner = { ...OWNER, email: OLD_ADDRESS };
    const again = await shop.post('/v1/owners', owner, { 'idempotency-key': '"who"' });
    expect(again.status).toBe(409);
    expect(again.body.detail).toMatch(/answered with 201 before/);
    expect(found(await wholeDatabase(shop.context))).toEqual([]);
    await shop.close();
  });

  it('keeps a refusal under the hash of the address, and so for whoever is added with it', async () => {
    const shop = await open(NOW);
    const { ownerId } = await aYearWith(shop);
    await erase(shop, ownerId);
    const added = await shop.post('/v1/owners', { ...OWNER, email: OWNER.email.toUpperCase() });
    const { body } = await shop.get(`/v1/owners/${added.body.id}/preferences`);
    expect(body.refused).toEqual(['reminders']);
    expect(body.consent).toMatchObject([
      { topic: 'reminders', given: false, words: '(erased) by phone: no more, please.' },
    ]);
    await shop.close();
  });

  it('is not brought back by what mail servers say of the letters afterwards', async () => {
    const shop = await open(NOW);
    const { ownerId, letterId } = await aYearWith(shop);
    await erase(shop, ownerId);
    const said = `Diagnostic-Code: smtp; 550 5.1.1 <${OWNER.email}> unknown`;
    const bounce = (await reportAbout('delivery-gateway', { token: letterId })).replace(
      /^Status: .*$/m,
      (status) => `${status}\n${said}`,
    );
    expect(bounce).toContain(said);
    const type = { 'content-type': 'message/rfc822' };
    const returned = await shop.call('POST', '/v1/bounces', bounce, type);
    expect(returned.body).toMatchObject({ applied: true, matched: [{ letterId }] });
    expect(found(await wholeDatabase(shop.context))).toEqual([]);
    const state = await shop.get(`/v1/letters/${letterId}`);
    expect(state.body).toMatchObject({ state: 'failed', response: null });
    await shop.close();
  });

  it('leaves everybody else as they were', async () => {
    const shop = await open(NOW);
    const { ownerId } = await aYearWith(shop);
    const other = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    await shop.post('/v1/calls', { carId: other.carId, outcome: 'message-left', notes: 'at noon' });
    await shop.post('/v1/round', {});
    const own = shop.key;
    shop.key = await shop.keyFor('Another Shop');
    const elsewhere = await fitted(shop, { owner: OWNER });
    expect((await erase(shop, ownerId)).status).toBe(404);
    shop.key = own;
    const before = await wholeDatabase(shop.context);
    await erase(shop, ownerId);
    const after = new Set((await wholeDatabase(shop.context)).split('\n'));
    for (const { ownerId: id } of [other, elsewhere]) {
      const lines = before.split('\n').filter((line) => line.includes(id));
      expect(lines.length).toBeGreaterThan(1);
      for (const line of lines) expect(after).toContain(line);
    }
    await shop.close();
  });
});

async function answered(shop: Workshop, letterId: string, response: string): Promise<void> {
  await shop.context.store.writeSql((sql) =>
    sql.run(
      `UPDATE "letter" SET "state" = 'delivered', "startedAt" = "notBefore", "nextTryAt" = NULL, "response" = ? WHERE "id" = ?`,
      [response, letterId],
    ),
  );
}
