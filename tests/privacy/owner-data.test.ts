import fc from 'fast-check';
import { expect, it } from 'vitest';
import { carSpans, hadCarAt } from '../../src/domain/privacy/car-spans.ts';
import { DATA_KINDS } from '../../src/domain/privacy/data-kinds.ts';
import { actingAs } from '../../src/usecases/context/acting.ts';
import { sellCar } from '../../src/usecases/owners/sell-car.ts';
import { makeOwnerLink } from '../../src/usecases/owners/owner-links.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { comer } from '../people/comers.ts';
import { wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { runs } from '../setup/runs.ts';
import { withoutTokens } from '../../src/usecases/context/links.ts';
import { wholeLetters } from '../setup/stored-letters.ts';

const NOW = '2026-06-12T09:00:00.000Z';

interface Life {
  readonly name: string;
  readonly deeds: readonly string[];
}

/** Somebody in care to whom some of all that can happen happened, each with words of their own. */
async function lived(shop: Workshop, { name, deeds }: Life) {
  const ids = await fitted(shop, {
    owner: { name: `${name} Quill`, email: `${name}@example.org`, phone: `+44 20 ${name}` },
    car: { registration: `REG ${name}` },
    top: { fittedOn: '2025-06-10' },
  });
  const { carId, topId, ownerId } = ids;
  for (const deed of deeds) {
    if (deed === 'fold') {
      const at = '2026-06-10T10:00:00.000Z';
      await shop.post(`/v1/cars/${carId}/position`, { position: 'folded', at });
    }
    if (deed === 'visit') {
      await shop.post(`/v1/tops/${topId}/visits`, {
        kind: 'look',
        doneOn: '2026-06-11',
        notes: `notes on ${name}`,
        readings: [{ pivot: 'L-MAIN', state: 'dry', oiled: false }],
        findings: [{ text: `finding of ${name}`, advised: `advice to ${name}` }],
      });
    }
    if (deed === 'call') {
      await shop.post(`/v1/cars/${carId}/calls`, {
        calledOn: '2026-06-11',
        outcome: 'reached',
        notes: `rang ${name}`,
      });
    }
    if (deed === 'link') await shop.post(`/v1/owners/${ownerId}/links`, {});
    if (deed === 'change') {
      const change = { postalAddress: `Lane of ${name}` };
      await shop.call('PATCH', `/v1/owners/${ownerId}`, change, { 'if-match': '*' });
    }
    if (deed === 'round') await shop.post('/v1/round');
  }
  return ids;
}

/** Every row of the database that names one of these ids, by table: what must be in the file. */
async function rowsNaming(shop: Workshop, ids: readonly string[]) {
  const { sql } = shop.context.store;
  const owned = DATA_KINDS.filter(({ about }) => about === 'owner');
  const tables = [...new Set(owned.flatMap(({ columns }) => Object.keys(columns)))];
  const counts = new Map<string, number>();
  for (const table of tables) {
    const rows = await sql.all(`SELECT * FROM "${table}"`);
    const naming = rows.filter((row) => ids.some((id) => JSON.stringify(row).includes(id)));
    counts.set(table, naming.length);
  }
  return counts;
}

/** What a letter says is read with it. */
const readIn = (table: string) => (table === 'letter_body' ? 'letter' : table);

const DEEDS = ['fold', 'visit', 'call', 'link', 'change', 'round'];

eachDatabase('one owner’s data', ({ open }) => {
  it('is everything of every table about her, and nothing of others', async () => {
    const life = fc.shuffledSubarray(DEEDS);
    await fc.assert(
      fc.asyncProperty(life, life, async (hers, others) => {
        const shop = await open(NOW);
        try {
          const her = await lived(shop, { name: 'Ada-A', deeds: [...hers, 'round'] });
          const other = await lived(shop, { name: 'Bob-B', deeds: others });
          const { status, body } = await shop.get(`/v1/owners/${her.ownerId}/data`);
          expect(status).toBe(200);
          const file = JSON.stringify(body);
          for (const word of ['Bob-B', ...Object.values(other)]) expect(file).not.toContain(word);
          const letterIds = body.records.letter.map(({ id }: { id: string }) => id);
          const visitIds = body.records.visit.map(({ id }: { id: string }) => id);
          const ids = [...Object.values(her), ...letterIds, ...visitIds];
          const expected = await rowsNaming(shop, ids);
          for (const [table, count] of expected) {
            expect([table, body.records[readIn(table)]?.length ?? 0]).toEqual([table, count]);
          }
          for (const { columns } of DATA_KINDS.filter(({ about }) => about === 'owner')) {
            for (const table of Object.keys(columns)) {
              const names = Object.entries(columns).flatMap(([from, own]) =>
                readIn(from) === table ? own : [],
              );
              for (const row of body.records[table] ?? []) expect(Object.keys(row)).toEqual(names);
            }
          }
          const texts = (rows: { text: string }[]) => rows.map(({ text }) => withoutTokens(text));
          expect(body.records.letter.map(({ text }: { text: string }) => text)).toEqual(
            texts(await wholeLetters(shop.context.store.sql, 'l."ownerId" = ?', [her.ownerId])),
          );
          expect(file.includes('finding of Ada-A')).toBe(hers.includes('visit'));
          // No secret, no fingerprint, no token, and nobody of the house by name.
          expect(file).not.toMatch(/"(hash|addressHash|leaseToken|authorName)"/);
          expect(file).not.toMatch(/\/(?:u|o|b)\/[\w-]{43}/);
          expect(file).not.toMatch(/"key:|"person:/);
        } finally {
          await shop.close();
        }
      }),
      { numRuns: runs(4) },
    );
  });

  it('parts the log of a car that changed hands between its owners', async () => {
    const shop = await open(NOW);
    const { carId, ownerId } = await fitted(shop);
    const log = (position: string, at: string) =>
      shop.post(`/v1/cars/${carId}/position`, { position, at });
    await log('folded', '2026-06-10T10:00:00.000Z');
    shop.setNow('2026-06-20T09:00:00.000Z');
    const { organisationId } = await shop.context.store.records.owner.findFirstOrThrow();
    const caller = programCaller(organisationId, 'test');
    const buyer = { name: 'Bob Latch', email: 'bob@example.org' };
    const sold = await actingAs(shop.context, caller, () =>
      sellCar(shop.context, caller, carId, buyer, '*'),
    );
    shop.setNow('2026-06-25T09:00:00.000Z');
    await log('raised', '2026-06-24T10:00:00.000Z');
    const dataOf = async (id: string) => (await shop.get(`/v1/owners/${id}/data`)).body.records;
    const [seller, bought] = [await dataOf(ownerId), await dataOf(sold.ownerId)];
    const positions = (records: { position_entry: { position: string }[] }) =>
      records.position_entry.map(({ position }) => position);
    expect(positions(seller)).toEqual(['folded']);
    expect(positions(bought)).toEqual(['raised']);
    expect([seller.car.length, bought.car.length]).toEqual([0, 1]);
    expect(JSON.stringify(bought)).not.toContain(ownerId);
    expect(JSON.stringify(seller)).not.toContain('Bob');
    await shop.close();
  });

  it('is given by her own link, to managers, and to nobody else', async () => {
    const shop = await open(NOW);
    const { ownerId, carId } = await fitted(shop, { owner: { language: 'de' } });
    const { context } = shop;
    const own = await linkFor(shop, ownerId, 'owner-page');
    const page = await browse(shop, 'GET', own);
    expect(page.html).toContain(`href="${own}/data"`);
    expect(page.html).toMatch(/href="\/privacy\/[\w-]+\?language=de"/);
    const data = wordsOf((await browse(shop, 'GET', `${own}/data`)).html);
    expect(data).toContain('Alles, was über Sie aufgezeichnet ist');
    expect(data).toContain('ada@example.org');
    const file = await browse(shop, 'GET', `${own}/data.json`);
    expect(file.headers['content-disposition']).toContain('attachment');
    expect(JSON.parse(file.html).ownerId).toBe(ownerId);
    // A link that is bound to one car lies in that car: it opens the car's page and no more.
    const { organisationId } = await context.store.records.owner.findFirstOrThrow();
    const caller = programCaller(organisationId, 'test');
    const bound = (await makeOwnerLink(context, caller, ownerId, { carId })).url;
    const ofCar = bound.slice(context.publicUrl.length);
    expect((await browse(shop, 'GET', ofCar)).html).not.toContain('/data"');
    expect((await browse(shop, 'GET', `${ofCar}/data`)).status).toBe(404);
    expect((await browse(shop, 'GET', `${ofCar}/data.json`)).status).toBe(404);
    const stop = await linkFor(shop, ownerId, 'stop', 'reminders');
    expect((await browse(shop, 'GET', `/o/${stop.slice(3)}/data`)).status).toBe(404);

    const [boss, desk] = [await comer(shop, 'manager'), await comer(shop, 'desk')];
    for (const path of [`/owners/${ownerId}/data`, `/owners/${ownerId}/data.json`]) {
      const as = (cookie: string) => browse(shop, 'GET', path, undefined, { cookie });
      expect((await as(boss.cookie)).html).toContain('ada@example.org');
      expect((await as(desk.cookie)).status).toBe(403);
      expect((await browse(shop, 'GET', path)).status).toBe(303);
    }
    shop.key = await shop.keyFor('Elmyard Soft Tops', 'read');
    expect((await shop.get(`/v1/owners/${ownerId}/data`)).status).toBe(403);
    shop.key = await shop.keyFor('Another Shop');
    expect((await shop.get(`/v1/owners/${ownerId}/data`)).status).toBe(404);
    await shop.close();
  });
});

it('has each instant of a car in one owner’s time, whatever the sales', () => {
  const at = (day: number) => new Date(Date.UTC(2020, 0, day)).toISOString();
  fc.assert(
    fc.property(
      fc.array(fc.constantFrom('a', 'b', 'c'), { minLength: 1, maxLength: 8 }),
      fc.nat(30),
      (owners, day) => {
        const sales = owners.slice(1).flatMap((buyer, i) => {
          const seller = owners[i] ?? '';
          return seller === buyer ? [] : [{ carId: 'car', at: at(i * 3 + 2), seller, buyer }];
        });
        const last = owners.at(-1);
        const having = ['a', 'b', 'c'].filter((owner) => {
          const own = sales.filter(({ seller, buyer }) => seller === owner || buyer === owner);
          const spans = carSpans(owner, owner === last ? ['car'] : [], own);
          return hadCarAt(spans, 'car', at(day + 1));
        });
        expect(having).toHaveLength(1);
      },
    ),
  );
});
