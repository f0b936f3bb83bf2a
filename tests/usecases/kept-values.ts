import fc from 'fast-check';
import { afterEach, expect, it } from 'vitest';
import type { Caller } from '../../src/usecases/context/context.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { readCalls } from '../../src/usecases/day/read-calls.ts';
import { readToday } from '../../src/usecases/day/today-page.ts';
import { keepDays } from '../../src/usecases/day/keep-ahead.ts';
import type { Databases } from '../setup/databases.ts';
import { onPostgresql, onSqlite } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const BEGINS = Date.parse('2026-04-20T07:10:00.000Z');
const DAY = 86_400_000;
const CARS = 3;

const joint = fc.record({
  pivot: fc.constantFrom('L-MAIN', 'R-LINK1', 'L-LATCH'),
  state: fc.constantFrom('free', 'dry', 'stiff', 'loose', 'oval', 'seized'),
  oiled: fc.boolean(),
  washersPresent: fc.constantFrom(0, 1, 2),
});
const car = fc.nat({ max: CARS - 1 });

/** What somebody does, and the time that goes by; a clock may be set back too. */
const deed = fc.oneof(
  fc.record({
    what: fc.constant('visit' as const),
    car,
    kind: kindOf(),
    joint,
    sway: fc.boolean(),
  }),
  fc.record({ what: fc.constant('book' as const), car, kind: kindOf(), days: fc.nat({ max: 40 }) }),
  fc.record({ what: fc.constant('cancel' as const), car }),
  fc.record({ what: fc.constant('take-back' as const), car }),
  fc.record({ what: fc.constant('fold' as const), car, damp: fc.boolean() }),
  fc.record({ what: fc.constant('raise' as const), car }),
  fc.record({ what: fc.constant('withdraw-entry' as const), car }),
  fc.record({ what: fc.constant('call' as const), car }),
  fc.record({ what: fc.constant('find' as const), car, fault: faultOf() }),
  fc.record({ what: fc.constant('mend' as const), car }),
  fc.record({ what: fc.constant('refuse' as const), car, refuses: fc.boolean() }),
  fc.record({ what: fc.constant('limit' as const), car, days: fc.integer({ min: 1, max: 30 }) }),
  fc.record({ what: fc.constant('re-cover' as const), car }),
  fc.record({ what: fc.constant('erase' as const), car }),
  fc.record({ what: fc.constant('figures' as const), hours: fc.integer({ min: 5, max: 40 }) }),
  fc.record({ what: fc.constant('stock' as const), inHand: fc.nat({ max: 9 }) }),
  fc.record({ what: fc.constant('time' as const), hours: fc.integer({ min: 1, max: 900 }) }),
  fc.record({ what: fc.constant('back' as const), hours: fc.integer({ min: 1, max: 100 }) }),
);
type Deed = typeof deed extends fc.Arbitrary<infer One> ? One : never;

function kindOf() {
  return fc.constantFrom('lubrication' as const, 'look' as const, 'repair' as const);
}
function faultOf() {
  return fc.constantFrom('cover-shrunk', 'tailgate-seal-missing', 'frame-shakes');
}

/** Tries, over so many generated histories, that what is kept of cars is what reckoning anew gives. */
export function tryKeptValues(runs: Readonly<Record<Databases['dialect'], number>>): void {
  const name = 'what is kept of cars';
  onSqlite(name, (databases) => tryOn(databases, runs.sqlite));
  if (runs.postgresql > 0) onPostgresql(name, (databases) => tryOn(databases, runs.postgresql));
}

function tryOn({ open }: Databases, runs: number): void {
  let shop: Workshop;
  afterEach(() => shop.close());

  /** The answers of the day, without the moment at which the weeks ahead were reckoned. */
  async function answers(caller: Caller) {
    const { ahead, ...today } = await readToday(shop.context, caller);
    const calls = await readCalls(shop.context, caller, { limit: 50 });
    return { today, calls, ahead: { parts: ahead.parts, says: ahead.says } };
  }

  async function forgetAll(): Promise<void> {
    await shop.context.store.writeSql(async (sql) => {
      await sql.run(`UPDATE "car_kept" SET "goodUntil" = '', "callScore" = NULL, "call" = NULL`);
      await sql.run('DELETE FROM "organisation_kept"');
    });
  }

  it('is what reckoning it all anew gives, after any history and on any day', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(deed, { minLength: 8, maxLength: 16 }), async (deeds) => {
        shop = await open(new Date(BEGINS).toISOString());
        const cars: CarAndTop[] = [];
        for (let i = 0; i < CARS; i += 1) {
          const fittedOn = ['2024-03-10', '2025-05-02', '2026-04-01'][i];
          const owner = { phone: '01632 960 001', email: `o${i}@example.org` };
          cars.push(
            await fitted(shop, { owner, car: { registration: `K ${i}` }, top: { fittedOn } }),
          );
        }
        const { organisationId } = await shop.context.store.records.accessKey.findFirstOrThrow();
        const caller = programCaller(organisationId, 'test');
        let now = BEGINS;
        await answers(caller);
        for (const [i, one] of deeds.entries()) {
          if (one.what === 'time') now += one.hours * 3_600_000;
          if (one.what === 'back') now -= one.hours * 3_600_000;
          now += 60_000;
          shop.setNow(new Date(now).toISOString());
          await doIt(shop, cars, one, now);
          // Some are read only later, so that several changes and days lie between.
          if (i % 3 === 1) continue;
          if (i % 2 === 0) await keepDays(shop.context);
          const kept = await answers(caller);
          await forgetAll();
          expect(kept).toEqual(await answers(caller));
        }
        await shop.close();
      }),
      { numRuns: runs },
    );
    shop = await open('2026-04-20T07:10:00.000Z');
  }, 240_000);
}

async function doIt(shop: Workshop, cars: CarAndTop[], one: Deed, now: number): Promise<void> {
  if (one.what === 'time' || one.what === 'back') return;
  const today = new Date(now).toISOString().slice(0, 10);
  const at = new Date(now).toISOString();
  if (one.what === 'stock') {
    await sent(shop, 'PUT', '/v1/stock/washer-pair', { inHand: one.inHand, onOrder: 0 });
    return;
  }
  if (one.what === 'figures') {
    await sent(shop, 'PATCH', '/v1/rules/figures', { 'calls.coverHours': one.hours });
    return;
  }
  const about = cars[one.car]!;
  const { records } = shop.context.store;
  const visitOf = (state: string) =>
    records.visit.findFirst({ where: { carId: about.carId, state }, orderBy: { id: 'desc' } });
  switch (one.what) {
    case 'visit':
      await sent(shop, 'POST', `/v1/tops/${about.topId}/visits`, {
        kind: one.kind,
        doneOn: today,
        minutes: 70 + one.car,
        readings: [one.joint],
        ...(one.sway ? { swayMm: 30 } : {}),
      });
      return;
    case 'book':
      await sent(shop, 'POST', `/v1/tops/${about.topId}/visits`, {
        kind: one.kind,
        plannedOn: new Date(now + one.days * DAY).toISOString().slice(0, 10),
      });
      return;
    case 'cancel': {
      const visit = await visitOf('booked');
      if (visit !== null) await changed(shop, `/v1/visits/${visit.id}`, { state: 'cancelled' });
      return;
    }
    case 'take-back': {
      const visit = await visitOf('done');
      if (visit !== null) await sent(shop, 'POST', `/v1/visits/${visit.id}/withdraw`, {});
      return;
    }
    case 'fold':
      await sent(shop, 'POST', `/v1/cars/${about.carId}/position`, {
        position: 'folded',
        at,
        damp: one.damp,
      });
      return;
    case 'raise':
      await sent(shop, 'POST', `/v1/cars/${about.carId}/position`, { position: 'raised', at });
      return;
    case 'withdraw-entry': {
      const entry = await records.positionEntry.findFirst({
        where: { carId: about.carId, withdrawnAt: null },
        orderBy: { id: 'desc' },
      });
      const path = `/v1/cars/${about.carId}/position-log/${entry?.id}/withdraw`;
      if (entry !== null) await sent(shop, 'POST', path, {});
      return;
    }
    case 'call':
      await sent(shop, 'POST', '/v1/calls', { carId: about.carId, outcome: 'reached' });
      return;
    case 'find':
      await sent(shop, 'POST', `/v1/tops/${about.topId}/visits`, {
        kind: 'look',
        doneOn: today,
        findings: [{ fault: one.fault, text: 'seen', outcome: 'accepted' }],
      });
      return;
    case 'mend': {
      const finding = await records.finding.findFirst({ where: { topId: about.topId } });
      if (finding === null) return;
      await changed(shop, `/v1/visits/${finding.visitId}/findings/${finding.id}`, {
        outcome: 'done',
      });
      return;
    }
    case 'refuse':
      await changed(shop, `/v1/owners/${about.ownerId}`, { refusesCalls: one.refuses });
      return;
    case 'limit':
      await changed(shop, `/v1/cars/${about.carId}`, { handbook: { foldedLimitDays: one.days } });
      return;
    case 're-cover': {
      const top = await sent(shop, 'POST', '/v1/tops', {
        carId: about.carId,
        fittedOn: today,
        framePattern: 'four-seat-manual',
        cover: { material: 'vinyl' },
        window: 'glass',
      });
      if (top.status === 201) cars[one.car] = { ...about, topId: top.body.id };
      return;
    }
    case 'erase':
      await changed(shop, `/v1/owners/${about.ownerId}`, undefined, 'DELETE');
      return;
  }
}

/** Sends what may be refused for its own reasons, and never fails. */
async function sent(shop: Workshop, method: string, path: string, body?: unknown) {
  const answer = await shop.call(method, path, body, await versionOf(shop, method, path));
  expect([path, answer.body, answer.status < 500]).toEqual([path, answer.body, true]);
  return answer;
}

function changed(shop: Workshop, path: string, body?: unknown, method = 'PATCH') {
  return sent(shop, method, path, body);
}

async function versionOf(
  shop: Workshop,
  method: string,
  path: string,
): Promise<Record<string, string>> {
  const record =
    path === '/v1/rules/figures'
      ? '/v1/organisation'
      : path.replace(/(\/visits\/[^/]+)\/(?:findings|withdraw).*$/, '$1');
  if (method === 'POST' && record === path) return {};
  const { headers } = await shop.get(record);
  return headers['etag'] === undefined ? {} : { 'if-match': headers['etag'] as string };
}
