import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import type { SentLetter } from './returned.ts';
import { deliver, failure, handIn, nextLetter, reportAbout, sentLetter } from './returned.ts';

eachDatabase('a message that came back', ({ open }) => {
  let shop: Workshop;
  let sent: SentLetter;
  const address = 'ada@example.org';
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    sent = await sentLetter(shop, address);
  });
  afterEach(() => shop.close());

  const letter = async () => (await shop.get(`/v1/letters/${sent.id}`)).body;
  const standing = async () => (await shop.get('/v1/standing')).body;
  const dead = (token = sent.id) => failure({ token, address }, '5.1.1');
  const round = async () => {
    const { body } = await shop.post('/v1/round', {});
    return body.letters.map(({ kind, to }: { kind: string; to: { address: string } }) => [
      kind,
      to.address,
    ]);
  };

  it('from a dead address ends all mail to it, and says so', async () => {
    const visit = { kind: 'look', plannedOn: '2026-07-06' };
    const booked = await shop.post(`/v1/tops/${sent.topId}/visits`, visit);
    expect(booked.status).toBe(201);
    const answer = await handIn(shop, dead());
    expect(answer.body).toEqual({
      kind: 'delivery',
      why: null,
      matched: [{ letterId: sent.id, address, verdict: 'dead' }],
      applied: true,
    });
    expect(await letter()).toMatchObject({
      state: 'failed',
      settledAt: '2026-06-12T09:00:00.000Z',
    });
    expect((await letter()).fault).toContain('no such mailbox');
    const waiting = await shop.get('/v1/letters?state=planned');
    expect(waiting.body.items).toEqual([]);
    const { items, alerts } = await standing();
    expect(items).toHaveLength(1);
    expect(items[0]).toMatchObject({ ownerId: sent.ownerId, address });
    expect(items[0].dead.since).toBe('2026-06-12T09:00:00.000Z');
    expect(items[0].words).toContain('Nothing is written to this address since 2026-06-12');
    expect(alerts).toEqual([]);
    expect(await round()).toEqual([]);
  });

  it('is kept without control characters, which PostgreSQL cannot store', async () => {
    const raw = dead().replace(/^Status: .*$/m, (status) => {
      return `${status}\r\nDiagnostic-Code: smtp; 550 5.1.1 no\0body \x01\x7f here`;
    });
    expect(raw).toContain('no\0body');
    expect((await handIn(shop, raw)).body).toMatchObject({ applied: true });
    expect((await letter()).response).toBe('smtp; 550 5.1.1 no body here');
  });

  it('counts once, however often it is handed in', async () => {
    await handIn(shop, dead());
    const again = await handIn(shop, dead());
    expect(again.body).toMatchObject({ matched: [{ verdict: 'dead' }], applied: false });
    await shop.post(`/v1/owners/${sent.ownerId}/standing/clear`, { words: 'it works again' });
    expect((await handIn(shop, dead(), 'text/plain')).body.applied).toBe(false);
    expect((await standing()).items).toEqual([]);
  });

  it('leaves a corrected address alone, and what is true is written to it', async () => {
    await handIn(shop, dead());
    const email = 'ada.quill@example.com';
    await shop.call('PATCH', `/v1/owners/${sent.ownerId}`, { email }, { 'if-match': '*' });
    expect((await standing()).items).toEqual([]);
    expect(await round()).toContainEqual(['lubrication-late', email]);
    // Going back to the dead one is going back to silence.
    await shop.call(
      'PATCH',
      `/v1/owners/${sent.ownerId}`,
      { email: 'ADA@example.org' },
      { 'if-match': '*' },
    );
    expect((await standing()).items).toHaveLength(1);
    expect(await round()).toEqual([]);
  });

  it('wrongly taken for dead is lifted with words, and a refusal is not', async () => {
    await handIn(shop, dead());
    await handIn(shop, await reportAbout('complaint', { token: sent.id }));
    const path = `/v1/owners/${sent.ownerId}/standing/clear`;
    expect((await shop.post(path, {})).status).toBe(400);
    const lifted = await shop.post(path, { words: 'Rang her: the server was down.' });
    expect(lifted.status).toBe(200);
    expect(lifted.body).toMatchObject({
      dead: null,
      refusedTopics: ['reminders', 'folded-limit', 'care-notes', 'offers', 'club-news'],
      cleared: { at: '2026-06-12T09:00:00.000Z', words: 'Rang her: the server was down.' },
    });
    expect(await round()).toEqual([]);
    shop.key = await shop.keyFor('Another Club');
    expect((await shop.post(path, { words: 'mine' })).status).toBe(404);
  });

  // RFC 3463, 3.3: a full mailbox is a passing state, whatever class the server gives it.
  it('for a passing reason counts, and three within 30 days are too many (shop rule)', async () => {
    const full = (token: string) => failure({ token, address }, '5.2.2');
    expect((await handIn(shop, full(sent.id))).body.matched[0].verdict).toBe('soft');
    const twice = `${full(sent.id)}again`;
    expect((await handIn(shop, twice)).body.applied).toBe(true);
    expect((await standing()).items[0]).toMatchObject({ dead: null, cameBack: 1 });
    shop.setNow('2026-07-12T09:00:00.000Z');
    expect((await standing()).items).toEqual([]);
    // 27 days later the address has brought back two letters, of which both still count.
    shop.setNow('2026-07-09T09:00:00.000Z');
    await handIn(shop, full((await nextLetter(shop, sent.carId)).id));
    expect((await standing()).items[0]).toMatchObject({ dead: null, cameBack: 2 });
    shop.setNow('2026-07-11T09:00:00.000Z');
    const visit = { kind: 'look', plannedOn: '2026-08-03' };
    await shop.post(`/v1/tops/${sent.topId}/visits`, visit);
    const { body } = await shop.get(`/v1/letters?carId=${sent.carId}&state=planned`);
    const third = body.items.find(({ kind }: { kind: string }) => kind === 'visit-booked');
    await deliver(shop, third.id);
    await handIn(shop, full(third.id));
    const [owner] = (await standing()).items;
    expect(owner.dead.why).toContain('3 letters came back within 30 days');
  });

  it('because of a rule of the receiver alerts the shop and blames no address', async () => {
    const raw = failure({ token: sent.id, address }, '5.7.1', [
      'Diagnostic-Code: smtp; 550 5.7.1 rejected by policy',
    ]);
    expect((await handIn(shop, raw)).body.matched[0].verdict).toBe('policy');
    const { items, alerts } = await standing();
    expect(items).toEqual([]);
    expect(alerts).toHaveLength(1);
    expect(alerts[0]).toMatchObject({ letterId: sent.id, ownerId: sent.ownerId });
    expect(alerts[0].words).toContain('objects to the sender or the letter');
    expect((await letter()).fault).toBe(alerts[0].words);
    shop.setNow('2026-07-20T09:00:00.000Z');
    expect((await standing()).alerts).toEqual([]);
  });

  it('alerts the shop as well where the objection came as the letter was handed over', async () => {
    await shop.context.store.writeSql((sql) =>
      sql.run(
        `UPDATE "letter" SET "state" = 'failed', "settledAt" = ?, "response" = '554 5.7.1 spam', "fault" = 'look into this' WHERE "id" = ?`,
        ['2026-06-12T09:00:00.000Z', sent.id],
      ),
    );
    expect((await standing()).alerts).toMatchObject([
      { letterId: sent.id, words: 'look into this' },
    ]);
  });

  it('as a complaint refuses every topic, with an entry of consent', async () => {
    const answer = await handIn(shop, await reportAbout('complaint', { token: sent.id }));
    expect(answer.body).toMatchObject({ kind: 'complaint', matched: [{ verdict: 'refused' }] });
    expect((await standing()).items[0].refusedTopics).toHaveLength(5);
    const entries = await shop.context.store.sql.all<{ topic: string; by: string }>(
      'SELECT "topic", "by" FROM "consent_entry" ORDER BY "topic"',
    );
    expect(entries.map(({ topic }) => topic)).toEqual([
      'care-notes',
      'club-news',
      'folded-limit',
      'offers',
      'reminders',
    ]);
    expect(entries.every(({ by }) => by.startsWith('complaint:'))).toBe(true);
    expect((await letter()).state).toBe('delivered');
    expect(await round()).toEqual([]);
  });

  it('that only says that it is late changes nothing', async () => {
    const before = await letter();
    const raw = failure({ token: sent.id, address }, '4.0.0', [], 'delayed');
    expect((await handIn(shop, raw)).body).toMatchObject({
      matched: [{ letterId: sent.id, verdict: 'none' }],
      applied: false,
    });
    expect(await letter()).toEqual(before);
    expect((await standing()).items).toEqual([]);
  });

  it('is matched by token or Message-ID and never by the address', async () => {
    const before = await letter();
    for (const raw of [
      failure({ token: 'tok1', address }, '5.1.1'),
      failure({ token: '01890000-0000-7000-8000-000000000000', address }, '5.1.1'),
      await reportAbout('delivery-bare-status', {}),
      await reportAbout('complaint', {}),
      'Subject: Out of office\r\nAuto-Submitted: auto-replied\r\n\r\nBack on Monday.\r\n',
      'not a message at all',
    ]) {
      expect((await handIn(shop, raw)).body).toMatchObject({ matched: [], applied: false });
    }
    expect(await letter()).toEqual(before);
    expect((await standing()).items).toEqual([]);
    const { messageId } = sent;
    const byId = await handIn(shop, await reportAbout('delivery-transient', { messageId }));
    expect(byId.body).toMatchObject({ matched: [{ letterId: sent.id, verdict: 'soft' }] });
  });

  it('about a letter of another organisation changes nothing of it', async () => {
    const own = shop.key;
    shop.key = await shop.keyFor('Another Club');
    expect((await handIn(shop, dead())).body).toMatchObject({ matched: [], applied: false });
    shop.key = await shop.keyFor('Elmyard Soft Tops', 'read');
    expect((await handIn(shop, dead())).status).toBe(403);
    shop.key = own;
    expect((await letter()).state).toBe('delivered');
    expect((await handIn(shop, dead())).body.applied).toBe(true);
  });

  it('is a message: JSON, nothing and too much are refused', async () => {
    // Whoever sends something else is told what to send, and not what other calls take.
    expect(await shop.post('/v1/bounces', {})).toMatchObject({
      status: 415,
      body: { detail: 'Send the body as message/rfc822 or text/plain.' },
    });
    expect((await handIn(shop, '')).status).toBe(400);
    expect(await handIn(shop, 'x'.repeat(256 * 1024 + 1))).toMatchObject({
      status: 413,
      body: { detail: expect.stringContaining('Leave off its end') as string },
    });
  });
});
