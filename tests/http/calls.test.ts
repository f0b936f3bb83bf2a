import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { programCaller } from '../../src/usecases/context/context.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { readCalls } from '../../src/usecases/day/read-calls.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

const NOW = '2026-06-08T08:00:00.000Z';

interface Item {
  readonly carId: string;
  readonly registration: string;
  readonly score: number;
  readonly chance: number;
  readonly afterCalls: number;
  readonly lossHours: number;
  readonly reason: string;
}

eachDatabase('the call list', ({ open }) => {
  let shop: Workshop;
  const cars: Record<string, CarAndTop> = {};
  beforeAll(async () => {
    shop = await open(NOW);
    const car = async (registration: string, fittedOn: string, owner: object = {}) => {
      const phone = { phone: '01632 960 001', ...owner };
      cars[registration] = await fitted(shop, {
        owner: phone,
        car: { registration },
        top: { fittedOn },
      });
    };
    await car('SOUND', '2025-09-01');
    await car('OVERDUE', '2025-04-09');
    await car('SEIZED', '2025-09-01');
    await car('REFUSES', '2025-04-09', { refusesCalls: true });
    await car('BOOKED', '2025-04-09');
    await car('FOLDED', '2025-09-01');
    await shop.post(`/v1/tops/${cars['SEIZED']?.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-05-01',
      readings: [
        { pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent: 2 },
        { pivot: 'R-LINK2', state: 'seized', oiled: false },
        // Found dry and oiled: dry no longer.
        { pivot: 'R-LINK1', state: 'dry', oiled: true },
      ],
    });
    await shop.post(`/v1/tops/${cars['BOOKED']?.topId}/booking`, { week: '2026-W25' });
    await shop.post(`/v1/cars/${cars['FOLDED']?.carId}/position`, {
      position: 'folded',
      at: '2026-06-03T06:00:00Z',
      damp: true,
    });
  });
  afterAll(() => shop.close());
  const list = async (limit = 20) => (await shop.get(`/v1/calls?limit=${limit}`)).body;
  const itemOf = async (registration: string): Promise<Item | undefined> =>
    (await list()).items.find((item: Item) => item.registration === registration);

  it('puts the likeliest damage first and leaves out who is booked, sound or will not be rung', async () => {
    const { items, inAll, because } = await list();
    expect(items.map(({ registration }: Item) => registration)).toEqual([
      'SEIZED',
      'FOLDED',
      'OVERDUE',
    ]);
    expect(inAll).toBe(3);
    expect(because.every((line: string) => line.startsWith('shop rule'))).toBe(true);
    expect((await list(1)).items).toHaveLength(1);
  });

  it('asks for a day where work is agreed and not booked, and offers no look at a cover known to be spent', async () => {
    const found = async (registration: string, outcome: string) => {
      const one = await fitted(shop, {
        owner: { phone: '01632 960 001' },
        car: { registration },
        top: { fittedOn: '2025-09-01' },
      });
      await shop.post(`/v1/tops/${one.topId}/visits`, {
        kind: 'look',
        doneOn: '2026-05-01',
        findings: [{ fault: 'cover-shrunk', text: 'edge drawn up', outcome }],
      });
      return one;
    };
    const agreed = await found('AGREED', 'accepted');
    await found('ADVISED', 'advised');
    expect(await itemOf('ADVISED')).toBeUndefined();
    expect((await itemOf('AGREED'))?.reason).toBe(
      'ring: book the agreed work, 2 min (the cover has shrunk; at stake: cleaning mould out of the lining, about 4½ h)',
    );
    await shop.post(`/v1/tops/${agreed.topId}/booking`, { week: '2026-W26' });
    expect(await itemOf('AGREED')).toBeUndefined();
  });

  it('works out the hours that a minute saves by the shop rules', async () => {
    // 60 days over the due day at 1 % a month of 30 days: 1 − 0.99². A joint costs 6½ hours, the oiling
    // of this top 105 minutes.
    const overdue = await itemOf('OVERDUE');
    expect(overdue?.chance).toBeCloseTo(1 - 0.99 ** 2, 12);
    expect(overdue?.score).toBeCloseTo(((1 - 0.99 ** 2) * 6.5) / 105, 12);
    expect(overdue?.reason).toBe(
      'offer an oiling, 1¾ h (no oiling on record; at stake: drilling out a joint, about 6½ h)',
    );
    // A seized joint is no matter of chances: it must not be moved, and comes first until its repair
    // is booked.
    expect(await itemOf('SEIZED')).toMatchObject({ mustStay: true, score: null, chance: 1 });
    // Folded damp: its limit of one day was met on 4 June at 06:00, four days and two hours ago; days
    // begun count. Mould costs 4½ hours, a cover 24; asking for both takes two minutes.
    const folded = await itemOf('FOLDED');
    expect(folded).toMatchObject({ deed: 'ring: ask to raise it and let it dry', minutes: 2 });
    expect(folded?.lossHours).toBeCloseTo(0.25 * 4.5 + (1 - 0.98 ** 5) * 24, 12);
  });

  it('says by which way, and means it: in writing where nothing can be dialled', async () => {
    const authorization = `Bearer ${await shop.keyFor('Other House')}`;
    const post = (path: string, body?: unknown) => shop.post(path, body, { authorization });
    for (const [registration, owner] of [
      ['W 1', {}],
      ['W 2', { phone: '-' }],
      ['R 1', { phone: '020 7946 0000' }],
    ] as const) {
      const { carId } = await fitted({ post }, { car: { registration }, owner });
      await post(`/v1/cars/${carId}/position`, { position: 'folded', at: '2026-05-03T06:00:00Z' });
    }
    const { body } = await shop.call('GET', '/v1/calls', undefined, { authorization });
    const said = body.items.map(({ registration, way, deed, reason }: Record<string, string>) => [
      registration,
      way,
      deed?.split(':')[0],
      reason?.split(':')[0],
    ]);
    expect(said.toSorted()).toEqual([
      ['R 1', 'ring', 'ring', 'ring'],
      ['W 1', 'write', 'write', 'write'],
      ['W 2', 'write', 'write', 'write'],
    ]);
  });

  it('asks the database as often for one car as for many', async () => {
    const caller = await callerOf(shop, 'Elmyard Soft Tops');
    await queriesOf(shop.context, caller);
    const idle = await queriesOf(shop.context, caller);
    await fitted(shop, { top: { fittedOn: '2025-12-01' } });
    const few = await queriesOf(shop.context, caller);
    for (let i = 0; i < 5; i += 1) await fitted(shop, { top: { fittedOn: '2025-12-01' } });
    expect(await queriesOf(shop.context, caller)).toBe(few);
    expect(few).toBeLessThan(40);
    // Where nothing changed, nothing is reckoned.
    expect(idle).toBeLessThan(20);
  });

  it('comes down after a call, and back as it is forgotten', async () => {
    const { carId } = cars['OVERDUE'] ?? {};
    const logged = await shop.post('/v1/calls', { carId, outcome: 'reached', notes: 'rings back' });
    expect(logged.status).toBe(201);
    expect(logged.body).toMatchObject({ carId, on: '2026-06-08', outcome: 'reached' });
    expect((await itemOf('OVERDUE'))?.afterCalls).toBeCloseTo(0.5, 12);
    shop.setNow('2026-07-06T08:00:00.000Z');
    expect((await itemOf('OVERDUE'))?.afterCalls).toBeCloseTo(0.75, 12);
    expect(await itemOf('OVERDUE')).toMatchObject({
      lastCall: { on: '2026-06-08', outcome: 'reached' },
    });
    shop.setNow(NOW);
    await shop.post('/v1/calls', { carId, outcome: 'booked' });
    expect((await list()).items.at(-1).registration).toBe('OVERDUE');
  });

  it('brings a car back whose booked day has passed and nobody came', async () => {
    expect(await itemOf('BOOKED')).toBeUndefined();
    shop.setNow('2026-06-22T08:00:00.000Z');
    expect(await itemOf('BOOKED')).toBeDefined();
    shop.setNow(NOW);
  });

  it.each([
    [{ outcome: 'reached' }, '#/carId'],
    [{ carId: 'nobody', outcome: 'reached' }, '#/carId'],
    [{ carId: 'x', outcome: 'sang' }, '#/outcome'],
    [{ carId: 'x', outcome: 'reached', notes: '' }, '#/notes'],
    [{ carId: 'x', outcome: 'reached', on: '2026-06-01' }, '#/on'],
  ])('refuses the call %j by field', async (body, pointer) => {
    const answer = await shop.post('/v1/calls', body);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
  });

  it('is empty for another organisation, which cannot log a call about these cars', async () => {
    const mine = shop.key;
    shop.key = await shop.keyFor('Another Club');
    expect(await list()).toMatchObject({ items: [], inAll: 0 });
    const foreign = await shop.post('/v1/calls', {
      carId: cars['SEIZED']?.carId,
      outcome: 'declined',
    });
    expect(foreign.status).toBe(400);
    shop.key = mine;
    expect((await itemOf('SEIZED'))?.afterCalls).toBeGreaterThan(0);
  });
});

describe('the length of the call list', () => {
  it.each(['0', '201', 'all'])('is not %s', async (limit) => {
    const shop = await openWorkshop(NOW);
    const answer = await shop.get(`/v1/calls?limit=${limit}`);
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe('limit');
    await shop.close();
  });
});

async function callerOf(shop: Workshop, name: string) {
  const organisation = await shop.context.store.records.organisation.findUniqueOrThrow({
    where: { name },
  });
  return programCaller(organisation.id, 'test');
}

async function queriesOf(
  context: Context,
  caller: Parameters<typeof readCalls>[1],
): Promise<number> {
  let count = 0;
  const { sql } = context.store;
  const counting = {
    ...context,
    store: {
      ...context.store,
      sql: {
        ...sql,
        all: <Row>(text: string, values?: Parameters<typeof sql.all>[1]) => {
          count += 1;
          return sql.all<Row>(text, values);
        },
      },
    },
  };
  await readCalls(counting, caller, { limit: 20 });
  return count;
}
