import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { browse } from '../pages/link-for.ts';

const NOW = '2026-06-08T21:00:00.000Z';
const found = (state: string, more = {}) => [{ pivot: 'R-MAIN', state, oiled: false, ...more }];

interface Letter {
  readonly kind: string;
  readonly state: string;
  readonly text: string;
}

eachDatabase('letters that wait when it is found whether a top may be moved', ({ open }) => {
  let shop: Workshop;
  let car: CarAndTop;
  beforeEach(async () => {
    shop = await open(NOW);
    car = await fitted(shop, { top: { fittedOn: '2025-07-10' } });
  });
  afterEach(() => shop.close());

  const visit = (body: object) => shop.post(`/v1/tops/${car.topId}/visits`, body);
  const look = (state: string, more = {}) =>
    visit({ kind: 'look', doneOn: '2026-06-08', readings: found(state, more) });
  const letters = async (): Promise<Letter[]> =>
    (await shop.get('/v1/letters?limit=100')).body.items;
  const waiting = async (kind: string) =>
    (await letters()).filter((letter) => letter.kind === kind && letter.state === 'planned');
  const only = async (kind: string): Promise<string> => {
    const all = await waiting(kind);
    expect(all).toHaveLength(1);
    return all[0]?.text ?? '';
  };
  const folded = () =>
    shop.post(`/v1/cars/${car.carId}/position`, { position: 'folded', at: '2026-06-01T08:00:00Z' });

  it('are written anew in the same deed: a booking first says that the top must stay', async () => {
    await visit({ kind: 'lubrication', plannedOn: '2026-07-08' });
    expect(await only('visit-booked')).not.toContain('Please leave the top as it is');
    await look('seized');
    expect(await only('visit-booked')).toContain('Please leave the top as it is');
    await visit({ kind: 'repair', plannedOn: '2026-06-16' });
    const [oiling = '', repair = ''] = (await waiting('visit-booked')).map(({ text }) => text);
    for (const text of [oiling, repair]) {
      expect(text).toContain('The repair is booked for Tuesday, 16 June 2026');
    }
    await visit({ kind: 'repair', doneOn: '2026-06-08' });
    const texts = (await waiting('visit-booked')).map(({ text }) => text);
    expect(texts).toHaveLength(1);
    expect(texts[0]).not.toContain('Please leave the top as it is');
  });

  it('tell the day of the repair once it is booked, and ask to ring until then', async () => {
    await folded();
    await look('sheared');
    await shop.post('/v1/round');
    expect(await only('folded-over')).toContain('Ring us');
    await visit({ kind: 'repair', plannedOn: '2026-06-16' });
    expect(await waiting('folded-over')).toEqual([]);
    await shop.post('/v1/round');
    const text = await only('folded-over');
    expect(text).toContain('The repair is booked for Tuesday, 16 June 2026');
    expect(text).not.toContain('agree on a day');
  });

  it('tell how to raise it where it is to be moved with care', async () => {
    await folded();
    await shop.post('/v1/round');
    expect(await only('folded-over')).toContain('Raise the top in one go');
    await look('stiff');
    expect(await waiting('folded-over')).toEqual([]);
    await shop.post('/v1/round');
    const text = await only('folded-over');
    expect(text).toContain('right main pivot: stiff');
    expect(text).toContain('slowly; with a second person at the header; stop at the first');
    expect(text).not.toContain('in one go');
  });

  it('heed a limit of play that the shop has set lower meanwhile', async () => {
    await folded();
    await look('free', { radialPlayMm: 0.95 });
    await shop.post('/v1/round');
    // Play over the limit for planning is moved with care; over the limit for acting, not at all.
    expect(await only('folded-over')).toContain('with care');
    const { headers } = await shop.get('/v1/organisation');
    const change = { 'pivots.radialActOver': 0.9 };
    const match = { 'if-match': String(headers['etag']) };
    expect((await shop.call('PATCH', '/v1/rules/figures', change, match)).status).toBe(200);
    expect(await waiting('folded-over')).toEqual([]);
    await shop.post('/v1/round');
    expect(await only('folded-over')).toContain('too much play');
  });

  it('offer no week for oil: what was offered ends, and its page says that the top must stay', async () => {
    const plan = () => shop.post('/v1/diary/plan', { weeks: 12, apply: true });
    await plan();
    const offer = await only('visit-offered');
    const link = /https:\/\/care\.example\.org(\/b\/\S+)/.exec(offer)?.[1] ?? '';
    await look('seized');
    expect(await waiting('visit-offered')).toEqual([]);
    const { html } = await browse(shop, 'GET', link);
    expect(html.indexOf('Please leave the top as it is')).toBeGreaterThan(0);
    const week = /\d{4}-W\d\d/.exec((await shop.get('/v1/diary')).body.weeks?.[3]?.id ?? '')?.[0];
    await browse(shop, 'POST', link, { week: week ?? '2026-W27' });
    const { items } = (await shop.get(`/v1/tops/${car.topId}/visits`)).body;
    expect(items.filter(({ state }: { state: string }) => state === 'booked')).toEqual([]);
    await plan();
    expect(await waiting('visit-offered')).toEqual([]);
    const { n } = (
      await shop.context.store.sql.all<{ n: number }>(
        `SELECT COUNT(*) AS "n" FROM "offer" WHERE "state" = 'open'`,
      )
    )[0] ?? { n: -1 };
    expect(n).toBe(0);
  });

  it('are as true of what came in from the side: a care note does not leave, dry or real', async () => {
    shop.setNow('2026-09-20T21:00:00.000Z');
    await shop.post('/v1/round');
    // The top is overdue too: advice shares the letter of the day.
    const advised = async () =>
      (await waiting('lubrication-late')).filter(({ text }) => text.includes('Worth knowing now'));
    expect(await advised()).toHaveLength(1);
    await visit({ kind: 'look', doneOn: '2026-09-20', readings: found('oval') });
    expect(await advised()).toEqual([]);
    for (const day of ['2026-09-20', '2026-09-21']) {
      shop.setNow(`${day}T22:00:00.000Z`);
      const { letters: dry } = (await shop.post('/v1/round', { dryRun: true })).body;
      expect(dry.map(({ kind }: Letter) => kind)).not.toContain('care-note');
      expect(dry.map(({ text }: Letter) => text).join()).not.toContain('Worth knowing now');
    }
  });
});
