import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Sql } from '../../src/store/database/sql.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('own words for the letters', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const put = (path: string, text: string) => shop.call('PUT', `/v1/wording/${path}`, { text });
  const reminder = async (more: object = {}) => {
    const { carId } = await fitted(shop, { top: { fittedOn: '2025-05-10' }, ...more });
    await shop.post('/v1/round', {});
    const { body } = await shop.get(`/v1/letters?carId=${carId}`);
    return body.items.find(({ kind }: { kind: string }) => kind === 'lubrication-late');
  };

  it('are saved, shown, used by the round and taken back', async () => {
    const saved = await put('lubrication-late/en/subject', 'Oil for {{cars}}, please');
    expect(saved.status).toBe(200);
    expect(saved.body).toMatchObject({
      kind: 'lubrication-late',
      slot: 'subject',
      text: 'Oil for {{cars}}, please',
      lines: 'one',
      changedAt: '2026-06-12T09:00:00.000Z',
      preview: { subject: 'Oil for FK 204, please' },
    });
    expect(saved.body.preview.text).toContain('Elmyard Soft Tops');
    expect(saved.body.places).toContain('cars');
    expect((await reminder()).subject).toBe('Oil for FK 1, please');
    const list = await shop.get('/v1/wording?kind=lubrication-late&language=en');
    expect(list.body.items).toHaveLength(6);
    expect(list.body.items[0].text).toBe('Oil for {{cars}}, please');
    expect(list.body.items[0].standard).toContain('{{cars}}');
    expect((await shop.call('DELETE', '/v1/wording/lubrication-late/en/subject')).status).toBe(204);
    expect((await shop.call('DELETE', '/v1/wording/lubrication-late/en/subject')).status).toBe(404);
    const again = await shop.get('/v1/letters/preview?kind=lubrication-late');
    expect(again.body.subject).not.toContain('please');
  });

  it('stand in letters about visits, and only in their own language', async () => {
    await put('visit-booked/de/heading', 'Wir freuen uns');
    await put('visit-booked/de/heading', 'Bis bald');
    const written = async (language: string) => {
      const { topId, carId } = await fitted(shop, { owner: { language } });
      const visit = { kind: 'look', plannedOn: '2026-07-06' };
      await shop.post(`/v1/tops/${topId}/visits`, visit);
      return (await shop.get(`/v1/letters?carId=${carId}`)).body.items[0].text;
    };
    expect(await written('de')).toContain('Bis bald');
    expect(await written('de-AT')).toContain('Bis bald');
    expect(await written('en')).not.toContain('Bis bald');
  });

  it('are of one organisation', async () => {
    await put('lubrication-late/en/subject', 'Oil, please');
    shop.key = await shop.keyFor('Another Club');
    expect((await reminder()).subject).not.toBe('Oil, please');
    const list = await shop.get('/v1/wording');
    expect(list.body.items.length).toBe(18 * 2 * 6);
    expect(list.body.items.every(({ text }: { text: null }) => text === null)).toBe(true);
    expect((await shop.call('DELETE', '/v1/wording/lubrication-late/en/subject')).status).toBe(404);
  });

  it.each([
    ['folded-over/en/subject', 'Folded since 3 May', 400, '#/text'],
    ['lubrication-late/en/lead', 'Dear {{nobody}}', 400, '#/text'],
    ['lubrication-late/en/lead', '', 400, '#/text'],
    ['lubrication-late/fr/lead', 'Bonjour', 400, 'language'],
    ['lubrication-late/en/nowhere', 'x', 404, undefined],
    ['nothing/en/lead', 'x', 400, 'kind'],
  ])('%s: "%s" is refused', async (path, text, status, pointer) => {
    const answer = await put(path, text);
    expect(answer.status).toBe(status);
    expect(answer.body.errors?.[0]?.pointer).toBe(pointer);
    const { body } = await shop.get('/v1/wording');
    expect(body.items.every((one: { text: string | null }) => one.text === null)).toBe(true);
  });

  it('that this version would not take are left out of the letter, which still goes', async () => {
    await put('lubrication-late/en/subject', 'Oil, please');
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "wording" SET "text" = 'For {{a place that is gone}}'`),
    );
    expect((await reminder()).subject).toContain('FK 1');
  });

  it('cost one query a round, however many letters it writes', async () => {
    await put('lubrication-late/en/subject', 'Oil, please');
    for (let i = 0; i < 3; i += 1) await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    const asked: string[] = [];
    const { store } = shop.context;
    const listening = (sql: Sql): Sql => ({
      dialect: sql.dialect,
      run: (...args) => sql.run(...args),
      all: (...args) => {
        asked.push(args[0]);
        return sql.all(...args);
      },
    });
    const heard = {
      ...shop.context,
      store: {
        ...store,
        sql: listening(store.sql),
        writeSql: <T>(work: (sql: Sql) => Promise<T>) =>
          store.writeSql((sql) => work(listening(sql))),
      },
    };
    const result = await planRound(heard);
    expect(result.planned).toBeGreaterThan(2);
    expect(result.letters.map(({ subject }) => subject)).toContain('Oil, please');
    expect(asked.filter((text) => text.includes('"wording"'))).toHaveLength(1);
  });
});
