import { afterAll, beforeAll, beforeEach, expect, it } from 'vitest';
import type { DailyPost } from '../../src/usecases/day/daily-mail.ts';
import { sendDailyMails } from '../../src/usecases/day/daily-mail.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

// Friday; London is an hour ahead of UTC.
const MORNING = '2026-06-12T05:30:00.000Z';
const BEFORE = '2026-06-12T04:59:00.000Z';
const AFTERNOON = '2026-06-12T13:00:00.000Z';

eachDatabase('the mail of the day', ({ open }) => {
  let shop: Workshop;
  let carId: string;
  let topId: string;
  let out: Parameters<DailyPost>[0][];
  let takes: boolean;
  const post: DailyPost = async (message) => {
    out.push(message);
    return takes;
  };
  const send = () => sendDailyMails(shop.context, post);
  const change = async (body: object) => {
    const { status } = await shop.call('PATCH', '/v1/organisation', body, { 'if-match': '*' });
    expect(status).toBe(200);
  };
  const nothingSentYet = () =>
    shop.context.store.writeSql((sql) =>
      sql.run('UPDATE "organisation" SET "dailyMailOn" = NULL', []),
    );

  beforeAll(async () => {
    shop = await open('2026-06-10T09:00:00.000Z');
    ({ carId, topId } = await fitted(shop, { top: { fittedOn: '2026-05-10' } }));
  });
  afterAll(() => shop.close());
  beforeEach(async () => {
    out = [];
    takes = true;
    await nothingSentYet();
    shop.setNow(MORNING);
  });

  it('comes to nobody without an address, and not where nothing matters', async () => {
    expect(await send()).toEqual({ sent: 0, failed: 0 });
    await change({ email: 'desk@example.org' });
    expect(await send()).toEqual({ sent: 0, failed: 0 });
    expect(out).toEqual([]);
  });

  it('tells of the bench, of a top that must stay and of folded ones as a number, once', async () => {
    const on = '2026-06-12';
    shop.setNow('2026-06-10T09:00:00.000Z');
    const booked = await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', plannedOn: on });
    expect(booked.status).toBe(201);
    const folded = { position: 'folded', at: '2026-06-02T09:00:00Z' };
    expect((await shop.post(`/v1/cars/${carId}/position`, folded)).status).toBe(201);
    const { registration } = (await shop.get(`/v1/cars/${carId}`)).body;

    shop.setNow(BEFORE);
    expect(await send()).toEqual({ sent: 0, failed: 0 });
    shop.setNow(MORNING);
    // Two processes look at the same instant.
    const both = await Promise.all([send(), send()]);
    expect(both.map(({ sent }) => sent).toSorted((a, b) => a - b)).toEqual([0, 1]);
    expect(await send()).toEqual({ sent: 0, failed: 0 });
    const [mail] = out;
    expect(out).toHaveLength(1);
    expect(mail?.to.address).toBe('desk@example.org');
    expect(mail?.text).toContain('On the bench today');
    expect(mail?.text).toContain(`${registration}, look`);
    expect(mail?.text).toContain('1 car is near its folded limit or past it');
    // Where a top stands folded is told on the page alone, and a locked screen tells nothing.
    expect(mail?.text.split(registration)).toHaveLength(2);
    expect(mail?.subject).toBe('What matters today');
    expect(mail?.html).toContain('/settings');
  });

  it('is tried again where nobody took it over, and not in the afternoon', async () => {
    takes = false;
    expect(await send()).toEqual({ sent: 0, failed: 1 });
    takes = true;
    expect(await send()).toEqual({ sent: 1, failed: 0 });
    await nothingSentYet();
    shop.setNow(AFTERNOON);
    expect(await send()).toEqual({ sent: 0, failed: 0 });
  });

  it('speaks the language of the organisation', async () => {
    await change({ language: 'de' });
    await send();
    expect(out[0]?.subject).toBe('Was heute wichtig ist');
    expect(out[0]?.text).toContain('Heute in der Werkstatt');
    expect(out[0]?.text).not.toMatch(/\b(bench|car|the|which|matters)\b/i);
    await change({ language: 'en' });
  });

  it('counts no position for a club that a member did not share', async () => {
    await change({ kind: 'club' });
    await send();
    expect(out[0]?.text).not.toContain('folded limit');
    await change({ kind: 'shop' });
  });

  it('is switched off in the settings, and is not for an owner who keeps her own', async () => {
    await change({ kind: 'private' });
    expect(await send()).toEqual({ sent: 0, failed: 0 });
    await change({ kind: 'shop', dailyMail: false });
    expect(await send()).toEqual({ sent: 0, failed: 0 });
    expect((await shop.get('/v1/organisation')).body.dailyMail).toBe(false);
  });
});
