import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addMinutes, msOf, toInstant } from '../../src/domain/calendar/instant.ts';
import { DeliveryLimits } from '../../src/usecases/delivery/delivery-limits.ts';
import { eachDatabase } from '../setup/databases.ts';
import { NOON, emptyPostOffice, scripted, SENT } from './post-office.ts';
import { runs } from '../setup/runs.ts';

const FIGURES = {
  organisationBurst: 3,
  organisationPerMinute: 2,
  domainBurst: 100,
  domainPerMinute: 100,
};
const letter = (id: number, domain = 'example.net', organisationId = 'g') => ({
  id: `l${id}`,
  organisationId,
  toAddress: `a@${domain}`,
});

test('a burst leaves at once, the rest at the rate, each with its own turn', () => {
  const limits = new DeliveryLimits(FIGURES);
  const turns = Array.from({ length: 6 }, (_, i) => limits.turnOf(letter(i), NOON));
  expect(turns.map((turn) => (msOf(turn) - msOf(NOON)) / 1000)).toEqual([0, 0, 0, 30, 60, 90]);
  // Asked again at its turn it may leave; asked before, it is told the same turn.
  expect(limits.turnOf(letter(3), NOON)).toBe(turns[3]);
  const later = addMinutes(NOON, 0.5);
  expect(limits.turnOf(letter(3), later)).toBe(later);
});

test('organisations do not slow each other; a domain slows all who write to it', () => {
  const limits = new DeliveryLimits({ ...FIGURES, organisationBurst: 100, domainBurst: 2 });
  expect(limits.turnOf(letter(1, 'example.net', 'a'), NOON)).toBe(NOON);
  expect(limits.turnOf(letter(2, 'EXAMPLE.net', 'b'), NOON)).toBe(NOON);
  expect(limits.turnOf(letter(3, 'example.net', 'c'), NOON) > NOON).toBe(true);
  expect(limits.turnOf(letter(4, 'example.com', 'c'), NOON)).toBe(NOON);
});

test('in no span leave more letters than the burst and what the rate adds', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 90_000 }), { minLength: 1, maxLength: 80 }),
      (gaps) => {
        const limits = new DeliveryLimits(FIGURES);
        let now = msOf(NOON);
        const left = gaps.map((gap, i) => {
          now += gap;
          return msOf(limits.turnOf(letter(i), toInstant(now)));
        });
        left.sort((a, b) => a - b);
        for (let from = 0; from < left.length; from++) {
          for (let to = from; to < left.length; to++) {
            const minutes = ((left[to] ?? 0) - (left[from] ?? 0)) / 60_000;
            const allowed = FIGURES.organisationBurst + minutes * FIGURES.organisationPerMinute;
            expect(to - from + 1).toBeLessThanOrEqual(allowed + 1e-6);
          }
        }
      },
    ),
    { numRuns: runs(200) },
  );
});

eachDatabase('limits in the delivery', (databases) => {
  test('letters over the limit wait for their turn, and all leave in the end', async () => {
    const office = await emptyPostOffice(databases.dialect);
    for (let i = 0; i < 8; i++) await office.household(`o${i}@example.net`);
    await office.round();
    const limits = new DeliveryLimits(FIGURES);
    const sender = scripted(SENT);
    expect(await office.deliver(sender, { limits })).toMatchObject({ delivered: 3 });
    expect(await office.deliver(sender, { limits })).toMatchObject({ delivered: 0 });
    const waiting = (await office.letters()).filter(({ state }) => state === 'planned');
    expect(waiting.map(({ attempts }) => attempts)).toEqual([0, 0, 0, 0, 0]);
    office.at(addMinutes(NOON, 1));
    expect(await office.deliver(sender, { limits })).toMatchObject({ delivered: 2 });
    office.at(addMinutes(NOON, 2));
    expect(await office.deliver(sender, { limits })).toMatchObject({ delivered: 2 });
    office.at(addMinutes(NOON, 3));
    expect(await office.deliver(sender, { limits })).toMatchObject({ delivered: 1 });
    await office.close();
  });
});
