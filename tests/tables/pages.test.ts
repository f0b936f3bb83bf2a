import { beforeEach, expect, it } from 'vitest';
import { readTable } from '../../src/usecases/tables/read-table.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from '../pages/desk.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { handInBy } from './hand-in.ts';

const OWN = [
  'Reg;Customer;Mail;Mobile;Hood fitted;Colour;Remarks',
  'FK 10;Ada Quill;ada@example.org;01632 960001;03/04/2026;red;likes tea',
  'FK 11;Bea Thorn;bea@example.org;;12/25/2024;blue;',
  'FK 12;Cec Loft;no address;;;green;',
].join('\r\n');

eachDatabase('a table handed in on the page', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  beforeEach(async () => {
    shop = await open('2026-07-15T10:00:00.000Z');
    desk = await openDesk(shop);
    return () => shop.close();
  });

  const handIn = (text: string | Buffer, fields?: Record<string, string>) =>
    handInBy(shop, desk, text, fields);
  const count = async (path: string) => (await shop.get(`/v1/${path}?limit=200`)).body.items.length;
  const named = (more: Record<string, string> = {}) => ({
    'all/framePattern': 'two-seat-manual',
    'all/material': 'cloth',
    'all/window': 'glass',
    ...more,
  });

  it('is looked at, its columns are named once, its good lines come in once, and go again', async () => {
    const { to } = await handIn(OWN);
    const first = await desk.open(to);
    const words = wordsOf(first.html);
    expect(words).toContain('3 lines · semicolon between the cells · letters: UTF-8');
    expect(words).toContain('Nothing is taken from: Remarks.');
    expect(words).toContain('row 4, email: Give one plain address');
    // Nobody said what the frames are: the lines with a top are refused for it.
    expect(words).toContain(
      '2 lines say something of a top, but the table does not tell: frame pattern, material, window.',
    );
    // Once for all of them, and not line by line.
    expect(words).not.toContain('frame pattern: Fill this cell too');
    expect(await count('cars')).toBe(0);
    const kept = await desk.send(first, `${to}/columns`, named());
    expect(kept.headers.location).toBe(`${to}?done=named#what`);
    const page = await desk.open(to);
    expect(wordsOf(page.html)).toContain('2 new owners 2 new cars 2 new tops 1 line refused');
    // Fitted 19 months ago and never oiled since, as far as the table tells: too late for a letter.
    expect(wordsOf(page.html)).toContain(
      'No letter about oil goes out because of it within a day; advice of the season may. 1 owner is late for longer than letters',
    );
    expect(page.html).not.toContain('value="all"');
    const [taken, again] = await Promise.all([
      desk.send(page, `${to}/take`),
      desk.send(page, `${to}/take`),
    ]);
    expect([taken.status, again.status]).toEqual([303, 303]);
    expect([await count('owners'), await count('cars'), await count('tops')]).toEqual([2, 2, 2]);
    const { body } = await shop.get('/v1/cars?search=FK10');
    expect(body.items[0]).toMatchObject({ colour: 'red', keeping: { place: null, salt: null } });
    const tops = await shop.get('/v1/tops');
    expect(tops.body.items.map(({ fittedOn }: { fittedOn: string }) => fittedOn)).toEqual([
      // One day has 25 in the middle: so all are month first.
      '2026-03-04',
      '2024-12-25',
    ]);
    // A second table with these columns is understood without a word.
    const second = await handIn(OWN.replaceAll('FK 1', 'FK 2').replaceAll('@', '2@'));
    expect(wordsOf((await desk.open(second.to)).html)).toContain(
      '2 new owners 2 new cars 2 new tops',
    );
    const done = await desk.open(to);
    expect(wordsOf(done.html)).toContain('Taken in. 2 new owners 2 new cars 2 new tops');
    const asked = await desk.send(done, `${to}/undo`);
    expect(wordsOf(asked.html)).toContain('Take this back?');
    expect((await desk.send(asked, `${to}/undo`)).headers.location).toBe(to);
    expect([await count('owners'), await count('cars'), await count('tops')]).toEqual([0, 0, 0]);
    expect(wordsOf((await desk.open(to)).html)).toContain('Taken back');
    expect(wordsOf((await desk.open('/trail')).html)).toContain('car removed');
  });

  it('says beforehand how many owners a round then writes to', async () => {
    const lines = [
      'Reg;Customer;Mail;Hood fitted',
      // Due in ten days, late by a month, late by five months, due in autumn.
      'FK 10;Ada Quill;ada@example.org;2025-07-25',
      'FK 11;Bea Thorn;bea@example.org;2025-06-15',
      'FK 12;Cec Loft;cec@example.org;2025-02-15',
      'FK 13;Dan Bow;dan@example.org;2025-10-15',
    ];
    const { to } = await handIn(lines.join('\n'));
    await desk.send(await desk.open(to), `${to}/columns`, named());
    const page = await desk.open(to);
    expect(wordsOf(page.html)).toContain('2 owners will be written to within a day');
    expect(wordsOf(page.html)).toContain('1 owner is late for longer than letters are written');
    await desk.send(page, `${to}/take`);
    const { letters } = (await shop.post('/v1/round', {})).body;
    const oil = letters.filter(({ kind }: { kind: string }) => kind.startsWith('lubrication-'));
    expect(oil.map(({ to: reader }: { to: { name: string } }) => reader.name).sort()).toEqual([
      'Ada Quill',
      'Bea Thorn',
    ]);
  });

  it('shows all that is wrong at once, the lines of the columns that are known too', async () => {
    const lines = [
      'Reg;Customer;Contact;Garage;Hood fitted',
      'FK 10;Ada Quill;Ada;street;2031-02-01',
      'FK 10;Bea Thorn;Bea;street;40/40/2024',
    ].join('\r\n');
    const { to } = await handIn(lines);
    const page = await desk.open(to);
    const words = wordsOf(page.html);
    expect(words).toContain('Say which column holds: email.');
    // Nobody said where the addresses stand: that is said once, and not of each line.
    expect(words).not.toContain('row 2, email');
    expect(words).toContain('row 2, fitted on: This day is still to come.');
    expect(words).toContain('row 3, fitted on: Give a calendar day that exists');
    // Of a line that is refused anyway, too.
    expect(words).toContain('row 3, registration: FK 10 stands in row 2 too.');
    expect(page.html).not.toContain(`${to}/take`);
  });

  it('asks once what an own word means, and knows it in the next table', async () => {
    const lines = (n: number) =>
      [
        'Reg;Customer;Mail;Garage;Driven',
        `FK ${n}0;Ada Quill;ada${n}@example.org;Car-Port;Sundays`,
        `FK ${n}1;Bea Thorn;bea${n}@example.org;car port;?`,
        `FK ${n}2;Cec Loft;cec${n}@example.org;Street;Sundays`,
      ].join('\r\n');
    const { to } = await handIn(lines(1));
    const first = await desk.open(to);
    expect(wordsOf(first.html)).toContain('“Car-Port” (place)');
    expect(wordsOf(first.html)).toContain('in 2 lines');
    expect(wordsOf(first.html)).not.toContain('“Street”');
    expect(wordsOf(first.html)).toContain('3 lines refused');
    await desk.send(first, `${to}/columns`, {
      'word/place/0': 'damp-garage',
      'word/use/1': 'summer',
    });
    expect(wordsOf((await desk.open(to)).html)).toContain('3 new cars');
    const second = await handIn(lines(2));
    const page = await desk.open(second.to);
    expect(wordsOf(page.html)).toContain('3 new cars');
    await desk.send(page, `${second.to}/take`);
    const cars = (await shop.get('/v1/cars')).body.items as { keeping: Record<string, unknown> }[];
    expect(cars.map(({ keeping }) => [keeping.place, keeping.use])).toEqual([
      ['damp-garage', 'summer'],
      ['damp-garage', null],
      ['street', 'summer'],
    ]);
  });

  it('changes what is on record only where it says so, and puts that back', async () => {
    await fitted(shop, { owner: { phone: '1' }, car: { colour: 'grey' } });
    const { to } = await handIn(
      'registration,owner name,email,phone,colour,place\nFK 1,Ada Quill,ada@example.org,2,,street',
    );
    const page = await desk.open(to);
    expect(wordsOf(page.html)).toContain('Row 2: FK 1: phone: 1 → 2; place: outdoors → street');
    await desk.send(page, `${to}/take`);
    const car = async () => (await shop.get('/v1/cars')).body.items[0];
    expect(await car()).toMatchObject({ colour: 'grey', keeping: { place: 'street' } });
    const asked = await desk.send(await desk.open(to), `${to}/undo`);
    await desk.send(asked, `${to}/undo`);
    expect(await car()).toMatchObject({ colour: 'grey', keeping: { place: 'outdoors' } });
    expect((await shop.get('/v1/owners')).body.items[0].phone).toBe('1');
  });

  it('is not taken back once somebody worked with what it brought', async () => {
    const { to } = await handIn('registration,owner name,email\nFK 1,Ada Quill,ada@example.org');
    await desk.send(await desk.open(to), `${to}/take`);
    const { id } = (await shop.get('/v1/cars')).body.items[0];
    await shop.post(`/v1/cars/${id}/position`, { position: 'folded', at: '2026-07-15T09:00:00Z' });
    const page = await desk.open(to);
    expect(wordsOf(page.html)).toContain('entries were made in the log (1)');
    expect(wordsOf(page.html)).toContain('Something hangs on each of its cars by now.');
    expect(page.html).not.toContain(`action="${to}/undo`);
    const refused = await desk.post(`${to}/undo`, { once: 'pressed-again' });
    expect(refused.status).toBe(409);
    expect(wordsOf(refused.html)).toContain('entries were made in the log (1)');
    expect(await count('cars')).toBe(1);
  });

  it('is taken back car by car where letters about some have left, with owners who have nothing else', async () => {
    const lines = [
      'Reg;Customer;Mail;Hood fitted',
      'FK 10;Ada Quill;ada@example.org;2025-07-25',
      'FK 11;Bea Thorn;bea@example.org;2025-10-15',
      'FK 12;Ada Quill;ada@example.org;2025-10-15',
    ];
    const { to } = await handIn(lines.join('\n'));
    await desk.send(await desk.open(to), `${to}/columns`, named());
    await desk.send(await desk.open(to), `${to}/take`);
    await shop.post('/v1/round', {});
    const { store } = shop.context;
    await store.writeSql(async (sql) => {
      // What the season makes worth saying of her other car shared that letter.
      await sql.run(
        `DELETE FROM "letter_occasion" WHERE "carId" IN (SELECT "id" FROM "car" WHERE "registration" = 'FK 12')`,
      );
      await sql.run(
        `UPDATE "letter" SET "state" = 'delivered' WHERE "id" IN (SELECT o."letterId" FROM "letter_occasion" o JOIN "car" c ON c."id" = o."carId" WHERE c."registration" = 'FK 10')`,
      );
    });
    const page = await desk.open(to);
    expect(wordsOf(page.html)).toContain('letters have left (');
    expect(wordsOf(page.html)).toContain('On 2 of its cars nothing hangs');
    expect(wordsOf(page.html)).toContain('FK 10 : letters have left');
    const asked = await desk.send(page, `${to}/undo-cars`);
    expect(wordsOf(asked.html)).toContain('FK 11, FK 12');
    const done = await desk.send(asked, `${to}/undo-cars`);
    expect(done.headers.location).toBe(`${to}?done=2-back`);
    const cars = (await shop.get('/v1/cars')).body.items as { registration: string }[];
    expect(cars.map(({ registration }) => registration)).toEqual(['FK 10']);
    const owners = (await shop.get('/v1/owners')).body.items as { name: string }[];
    expect(owners.map(({ name }) => name)).toEqual(['Ada Quill']);
    const after = wordsOf((await desk.open(`${to}?done=2-back`)).html);
    expect(after).toContain('2 cars are taken back.');
    expect(after).toContain('2 of its cars were taken back or removed since.');
  });

  it('is another organisation’s to nobody, and nothing at all to whoever only reads', async () => {
    const { to } = await handIn(OWN);
    const other = await openDesk(shop, await shop.keyFor('Other Hoods'));
    expect((await other.open(to)).status).toBe(404);
    expect((await other.post(`${to}/take`, {})).status).toBe(303);
    expect((await other.post(`${to}/undo`, { once: 'abcdefgh' })).status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    for (const path of ['/import', to, '/export']) {
      expect((await reader.open(path)).status).toBe(403);
    }
    expect((await reader.post('/export', { what: 'cars' })).status).toBe(403);
    expect(
      (await desk.post('/export', { what: 'cars' }, { 'sec-fetch-site': 'cross-site' })).status,
    ).toBe(403);
    expect(await count('cars')).toBe(0);
  });

  it('says what is wrong with a file', async () => {
    const wrong = await handIn('');
    expect([wrong.status, wordsOf(wrong.html).includes('Choose the file first.')]).toEqual([
      400,
      true,
    ]);
    const large = await handIn(Buffer.alloc(8_000_001, 'a,'));
    expect(large.status).toBe(413);
    expect(wordsOf(large.html)).toContain('larger than 8 MB');
    const lacking = await handIn('a,b\n1,2');
    expect(wordsOf((await desk.open(lacking.to)).html)).toContain(
      'Say which column holds: registration, owner name, email.',
    );
  });

  it('is forgotten with an owner who is erased', async () => {
    const { to } = await handIn('registration,owner name,email\nFK 1,Ada Quill,ada@example.org');
    await desk.send(await desk.open(to), `${to}/take`);
    const waits = await handIn(OWN);
    const [owner] = (await shop.get('/v1/owners')).body.items;
    await shop.call('DELETE', `/v1/owners/${owner.id}`, undefined, { 'if-match': '*' });
    expect((await desk.open(waits.to)).status).toBe(404);
    const rows = await shop.context.store.sql.all('SELECT * FROM "import_run"');
    expect(JSON.stringify(rows)).not.toMatch(/Ada|ada@/);
  });

  it('goes out as tables and a workbook, and the trail says who took it', async () => {
    await fitted(shop, { owner: { name: '=SUM(A1)' } });
    const csv = await desk.post('/export', { what: 'cars', separator: ';' });
    expect(csv.headers['content-disposition']).toContain('foldkeep-cars.csv');
    expect(csv.html).toContain(`'=SUM(A1);ada@example.org;`);
    for (const what of ['owners', 'tops', 'visits', 'readings']) {
      expect((await desk.post('/export', { what })).status).toBe(200);
    }
    const response = await shop.server.inject({
      method: 'POST',
      url: '/export',
      headers: { cookie: desk.cookie, 'content-type': 'application/x-www-form-urlencoded' },
      payload: 'what=workbook',
    });
    const table = await readTable(response.rawPayload, {});
    expect(table.readAs.sheets).toEqual(['cars', 'owners', 'tops', 'visits', 'readings']);
    expect(table.rows[0]?.[0]).toBe('=SUM(A1)');
    expect(wordsOf((await desk.open('/trail')).html)).toContain('taken out nothing → cars as CSV');
  });
});
