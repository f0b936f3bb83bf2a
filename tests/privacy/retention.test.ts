import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addHours } from '../../src/domain/calendar/instant.ts';
import { foldedClock } from '../../src/domain/folding/clock.ts';
import { POSITIONS } from '../../src/domain/folding/position-log.ts';
import { cutoffOf, entriesToForget } from '../../src/domain/privacy/retention.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { changeFigures } from '../../src/usecases/settings/change-figures.ts';
import { forgetOld, tryRetention } from '../../src/usecases/privacy/retention.ts';
import { comer } from '../people/comers.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { eachDatabase } from '../setup/databases.ts';
import { fitted } from '../setup/workshop.ts';
import { runs } from '../setup/runs.ts';

const START = '2025-01-01T00:00:00.000Z';

describe('what may go of a position log', () => {
  it('changes no clock from the cutoff on', () => {
    const entry = fc.record({
      hours: fc.nat(2_000),
      position: fc.constantFrom(...POSITIONS),
      damp: fc.boolean(),
      withdrawn: fc.boolean(),
    });
    fc.assert(
      fc.property(
        fc.array(entry, { maxLength: 30 }),
        fc.nat(2_000),
        fc.nat(500),
        (list, cut, later) => {
          const log = list.map(({ hours, ...rest }, i) => ({
            ...rest,
            id: String(i),
            at: addHours(START, hours),
          }));
          const cutoff = addHours(START, cut);
          const gone = new Set(entriesToForget(log, cutoff, 12).map(({ id }) => id));
          const left = log.filter(({ id }) => !gone.has(id));
          expect(log.every(({ id, at }) => !gone.has(id) || at < cutoff)).toBe(true);
          const clock = { zone: 'Europe/London', limitDays: 3, at: addHours(cutoff, later) };
          const before = foldedClock({ ...clock, entries: log });
          expect(foldedClock({ ...clock, entries: left })).toEqual(before);
        },
      ),
      { numRuns: runs(5_000) },
    );
  });

  it('is all before the last proper rest, and nothing where there was none', () => {
    const log = [0, 1, 2, 3].map((n) => ({
      id: String(n),
      at: addHours(START, n * 24),
      position: n % 2 === 0 ? ('folded' as const) : ('raised' as const),
    }));
    const gone = entriesToForget(log, addHours(START, 1_000), 12);
    expect(gone.map(({ id }) => id)).toEqual(['0', '1', '2']);
    expect(entriesToForget(log, addHours(START, 20), 12)).toEqual([]);
  });

  // RFC 7529, SKIP=BACKWARD: a month back from the 31st ends with the shorter month.
  it('is counted in months of the calendar; none is for ever', () => {
    expect(cutoffOf(1, '2026-03-31T10:00:00.000Z')).toBe('2026-02-28T10:00:00.000Z');
    expect(cutoffOf(0, START)).toBeNull();
  });
});

eachDatabase('retention', ({ open }) => {
  it('takes out what is too old, kind by kind, and notes counts alone', async () => {
    const shop = await open('2024-01-10T09:00:00.000Z');
    const { context } = shop;
    const { records } = context.store;
    await comer(shop, 'manager');
    const kept = await fitted(shop, { top: { fittedOn: '2023-01-12' } });
    const past = await fitted(shop, {
      owner: { name: 'Bo Hinge', email: 'bo@example.org' },
      car: { registration: 'FK 2' },
      top: { fittedOn: '2023-01-12' },
    });
    for (const { carId, topId } of [kept, past]) {
      await shop.post(`/v1/tops/${topId}/visits`, {
        kind: 'look',
        doneOn: '2024-01-09',
        notes: 'a secret note',
        findings: [{ text: 'a worn seal' }],
      });
      const hours = [
        ['folded', '2024-01-05T10:00:00.000Z'],
        ['raised', '2024-01-06T10:00:00.000Z'],
        ['folded', '2024-01-08T10:00:00.000Z'],
        ['raised', '2024-01-09T08:00:00.000Z'],
      ];
      for (const [position, at] of hours) {
        expect((await shop.post(`/v1/cars/${carId}/position`, { position, at })).status).toBe(201);
      }
    }
    await shop.call('DELETE', `/v1/owners/${past.ownerId}`, undefined, { 'if-match': '*' });
    await shop.post('/v1/round');
    await context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered', "settledAt" = ?`, [context.now()]),
    );
    const letters = await records.letterBody.count({ where: { text: { not: '' } } });
    expect(letters).toBeGreaterThan(0);

    shop.setNow('2026-06-12T09:00:00.000Z');
    // By default the sign-in log goes, and nothing else.
    expect(await forgetOld(context)).toBe(1);
    expect(await records.signIn.count()).toBe(0);
    expect(await forgetOld(context)).toBe(0);

    const own = {
      'retention.positionLogMonths': 12,
      'retention.letterBodyMonths': 12,
      'retention.pastCareMonths': 12,
    };
    const { organisationId } = await records.owner.findFirstOrThrow();
    const caller = programCaller(organisationId, 'test');
    await changeFigures(context, caller, own, '*');
    const tried = await tryRetention(context, caller);
    expect(tried).toEqual({
      positionLogMonths: 6,
      letterBodyMonths: letters,
      pastCareMonths: 1,
      signInLogMonths: 0,
      trailMonths: 0,
    });
    const before = await records.trailEntry.count();
    expect(await forgetOld(context)).toBe(7 + letters);
    expect(await records.positionEntry.count()).toBe(2);
    expect(await records.letterBody.count({ where: { text: { not: '' } } })).toBe(0);
    expect((await records.visit.findMany()).map(({ carId }) => carId)).toEqual([kept.carId]);
    expect(await records.finding.count()).toBe(1);
    const notes = await records.trailEntry.findMany({
      where: { kind: 'retention' },
      orderBy: { id: 'asc' },
    });
    expect(notes.map(({ recordId, was }) => [recordId, was])).toEqual([
      ['signInLogMonths', '{"count":1}'],
      ['positionLogMonths', expect.stringMatching(/^\{"count":\d+\}$/)],
      ['letterBodyMonths', `{"count":${letters}}`],
      ['pastCareMonths', '{"count":1}'],
    ]);
    expect(await records.trailEntry.count()).toBe(before + 3);
    expect(await forgetOld(context)).toBe(0);
    await shop.close();
  });

  it('takes old lines of the trail, but those that say whose a car was', async () => {
    const shop = await open('2024-01-10T09:00:00.000Z');
    const { context } = shop;
    const { records } = context.store;
    const { carId } = await fitted(shop, { top: { fittedOn: '2023-01-12' } });
    const car = await records.car.findFirstOrThrow();
    const other = await shop.post('/v1/owners', { name: 'Bo Hinge', email: 'bo@example.org' });
    await context.store.writeSql((sql) =>
      sql.run('UPDATE "car" SET "ownerId" = ? WHERE "id" = ?', [other.body.id, carId]),
    );
    await context.store.writeSql((sql) =>
      sql.run('UPDATE "organisation" SET "ownRules" = ? WHERE "id" = ?', [
        '{"retention.trailMonths":12}',
        car.organisationId,
      ]),
    );
    // The changes above carry this machine's time, being nobody's.
    await context.store.writeSql((sql) => sql.run('UPDATE "trail" SET "at" = ?', [context.now()]));
    shop.setNow('2026-06-12T09:00:00.000Z');
    await forgetOld(context);
    const left = await records.trailEntry.findMany({ orderBy: { id: 'asc' } });
    expect(left.map(({ kind, action }) => `${kind} ${action}`)).toEqual([
      'car changed',
      'retention removed',
    ]);
    await shop.close();
  });

  it('says on its page what would go before anything is set', async () => {
    const shop = await open('2024-01-10T09:00:00.000Z');
    const { carId } = await fitted(shop, { top: { fittedOn: '2023-01-12' } });
    for (const [position, at] of [
      ['folded', '2024-01-05T10:00:00.000Z'],
      ['raised', '2024-01-06T10:00:00.000Z'],
    ]) {
      await shop.post(`/v1/cars/${carId}/position`, { position, at });
    }
    shop.setNow('2026-06-12T09:00:00.000Z');
    const desk = await openDesk(shop);
    const page = await desk.open('/settings/retention');
    expect(wordsOf(page.html)).toContain('Sign-in log : kept 6 months (shop rule)');
    expect(wordsOf(page.html)).toContain('Position log : kept until erased (shop rule)');
    const asked = await desk.send(page, '/settings/retention', { positionLogMonths: '12' });
    expect(wordsOf(asked.html)).toContain('Position log: kept 12 months; 1 go within the hour.');
    expect(await shop.context.store.records.positionEntry.count()).toBe(2);
    const done = await desk.send(asked, '/settings/retention');
    expect([done.status, done.headers.location]).toEqual([303, '/settings/retention?done=changed']);
    await forgetOld(shop.context);
    expect(await shop.context.store.records.positionEntry.count()).toBe(1);
    const fresh = await desk.open('/settings/retention');
    const refused = await desk.send(fresh, '/settings/retention', { positionLogMonths: '-3' });
    expect(refused.status).toBe(400);
    await shop.close();
  });
});
