import * as fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { PLACES, SALTS, USES } from '../../src/domain/lubrication/keeping.ts';
import { importTable } from '../../src/usecases/tables/import-table.ts';
import { tableAsCsv, tablesAsWorkbook } from '../../src/usecases/tables/export-tables.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { organisationIdOf } from '../../src/usecases/organisations/organisations.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { runs } from '../setup/runs.ts';

const NOW = '2026-07-17T10:00:00.000Z';
let shop: Workshop;
beforeAll(async () => {
  shop = await openWorkshop(NOW);
});
afterAll(() => shop.close());

// Whatever people write in one line, with what spreadsheets and CSV stumble over.
const words = (most: number) =>
  fc
    .string({
      unit: fc.constantFrom('a', 'Ö', '=', '+', '-', '@', "'", '"', ';', ',', ' ', '7', '<'),
      maxLength: most,
    })
    .map((text) => text.trim())
    .filter((text) => text !== '');
const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: undefined });
const DAYS = ['1999-12-31', '2024-02-29', '2026-07-15'];

const care = fc.record({
  owner: fc.record(
    {
      name: words(40),
      phone: words(20),
      postalAddress: words(40),
      postcode: words(10),
      language: fc.constantFrom('en', 'de-AT'),
    },
    { requiredKeys: ['name'] },
  ),
  car: fc.record({
    make: maybe(words(20)),
    model: maybe(words(20)),
    year: maybe(fc.integer({ min: 1950, max: 2026 })),
    colour: maybe(words(20)),
    handbook: fc.record({
      foldedLimitDays: maybe(fc.integer({ min: 1, max: 30 })),
      foldFloorCelsius: maybe(fc.integer({ min: -400, max: 400 }).map((tenths) => tenths / 10)),
    }),
    keeping: fc.record({
      place: maybe(fc.constantFrom(...PLACES)),
      salt: maybe(fc.constantFrom(...SALTS)),
      use: maybe(fc.constantFrom(...USES)),
      foldsPerYear: maybe(fc.integer({ min: 0, max: 900 })),
    }),
  }),
  top: maybe(
    fc.record({
      fittedOn: fc.constantFrom(...DAYS),
      framePattern: fc.constantFrom('two-seat-manual', 'four-seat-powered'),
      cover: fc.record({ material: fc.constantFrom('vinyl', 'cloth') }),
      window: fc.constantFrom('glass', 'glass-bonded', 'clear-vinyl'),
      powered: maybe(fc.boolean()),
      coverName: maybe(words(20)),
      makersReference: maybe(words(20)),
    }),
  ),
  oiledOn: fc.array(fc.constantFrom('2026-07-15', '2026-07-16', '2026-07-17'), { maxLength: 2 }),
});

async function recordsOf(key: string) {
  shop.key = key;
  const all = [];
  for (const path of ['/v1/owners', '/v1/cars', '/v1/tops']) {
    const { body } = await shop.get(`${path}?limit=200`);
    all.push(
      body.items.map((item: object) => ({ ...item, id: '', ownerId: '', carId: '', topId: '' })),
    );
  }
  return all;
}

async function callerOf(name: string) {
  const key = await shop.keyFor(name);
  return { key, caller: programCaller(await organisationIdOf(shop.context, name), 'test') };
}

let run = 0;
it('what goes out as a table comes in again as the same records, as CSV and as a workbook', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(care, { minLength: 1, maxLength: 4 }), async (cares) => {
      run += 1;
      const from = await callerOf(`From ${run}`);
      shop.key = from.key;
      for (const [nth, { owner, car, top, oiledOn }] of cares.entries()) {
        const email = `o${nth}@example.org`;
        const made = await shop.post('/v1/owners', { ...owner, email });
        const added = await shop.post('/v1/cars', {
          ...car,
          registration: `=FK ${nth}`,
          ownerId: made.body.id,
        });
        expect([made.status, added.status]).toEqual([201, 201]);
        if (top === undefined) continue;
        const onCar = await shop.post('/v1/tops', { ...top, carId: added.body.id });
        for (const doneOn of oiledOn) {
          await shop.post(`/v1/tops/${onCar.body.id}/visits`, { kind: 'lubrication', doneOn });
        }
      }
      const before = await recordsOf(from.key);
      const { context } = shop;
      const csv = Buffer.from(await tableAsCsv(context, from.caller, 'cars', ';'));
      const book = await tablesAsWorkbook(context, from.caller);
      for (const [format, bytes] of [
        ['csv', csv],
        ['xlsx', book],
      ] as const) {
        const name = `To ${run} ${format}`;
        const to = await callerOf(name);
        await importTable(context, bytes, { organisation: name, dryRun: false });
        expect(await recordsOf(to.key)).toEqual(before);
      }
    }),
    { numRuns: runs(8), endOnFailure: true },
  );
}, 120_000);
