import { beforeEach, expect, it } from 'vitest';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import type { Desk } from '../pages/desk.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { handInBy } from './hand-in.ts';

const NAMES = 'Reg;Customer;Mail;Hood fitted;Frame;Material;Window';
const TOP = 'four-seat-manual;cloth;glass';

eachDatabase('the last oiling on the page of a table', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  beforeEach(async () => {
    shop = await open('2026-07-15T10:00:00.000Z');
    desk = await openDesk(shop);
    return () => shop.close();
  });
  const handIn = (...lines: readonly string[]) => handInBy(shop, desk, lines.join('\r\n'));
  const pageOf = async (to: string) => {
    const page = await desk.open(to);
    return { page, words: wordsOf(page.html) };
  };
  const lastOn = async () =>
    (await shop.get('/v1/tops')).body.items.map(
      ({ lubrication }: { lubrication: { lastOn: string | null } }) => lubrication.lastOn,
    );

  it('is shown with what follows from it before anything is written, and goes again', async () => {
    await fitted(shop);
    const { to } = await handIn(
      `${NAMES};Last oiled`,
      `FK 1;Ada Quill;ada@example.org;;;;;1.5.2026`,
      `FK 2;Bea Thorn;bea@example.org;10.3.2024;${TOP};15. März 2026`,
      `FK 3;Cec Loft;cec@example.org;10.3.2024;${TOP};16.7.2026`,
      `FK 4;Dan Bow;dan@example.org;10.3.2019;${TOP};20.1.2021`,
    );
    const { page, words } = await pageOf(to);
    expect(words).toContain(
      '2 new owners 2 new cars 2 new tops last oiling of 3 tops 1 car on record changed',
    );
    expect(words).toContain(
      'Row 2: FK 1: last oiled: nothing → 1 May 2026; next due on 1 May 2027',
    );
    expect(words).toContain(
      'Row 3: FK 2, Bea Thorn: last oiled on 15 March 2026, next due on 15 March 2027',
    );
    expect(words).toContain(
      'Row 5: FK 4, Dan Bow: last oiled on 20 January 2021, was due again on 20 January 2022',
    );
    expect(words).toContain('row 4, last oiled: This day is still to come. Write the day on');
    expect(words).toContain('No letter about oil goes out because of it within a day');
    expect(await lastOn()).toEqual([null]);
    await desk.send(page, `${to}/take`);
    expect(await lastOn()).toEqual(['2026-05-01', '2026-03-15', '2021-01-20']);
    const { body } = await shop.get('/v1/tops');
    expect(body.items[1].lubrication.dueOn).toBe('2027-03-15');
    const done = await pageOf(to);
    expect(done.words).toContain('last oiling of 3 tops');
    const asked = await desk.send(done.page, `${to}/undo`);
    expect(wordsOf(asked.html)).toContain('tops and last oilings that the table brought go');
    await desk.send(asked, `${to}/undo`);
    expect(await lastOn()).toEqual([null]);
  });

  it('is asked after where a column may be it, and remembered', async () => {
    const lines = (n: number) => [
      `${NAMES};Last service;Remarks`,
      `FK ${n};Ada Quill;ada${n}@example.org;2024-03-10;${TOP};2026-05-20;likes tea`,
    ];
    const { to } = await handIn(...lines(1));
    const { page, words } = await pageOf(to);
    expect(words).toContain(
      'No column says when the pivots were oiled last. If one of these does, choose “last oiled” for it, and the next oiling is reckoned from its days: “Last service”.',
    );
    expect(words).not.toContain('last oiling of');
    await desk.send(page, `${to}/columns`, { 'column/7': 'lubricatedOn' });
    const named = await pageOf(to);
    expect(named.words).not.toContain('No column says');
    expect(named.words).toContain('last oiling of 1 top');
    const second = await pageOf((await handIn(...lines(2))).to);
    expect(second.words).toContain('last oiling of 1 top');
  });

  it('is not read in one of two ways before somebody says which', async () => {
    const lines = (n: number) => [
      `${NAMES};Last oiled`,
      `FK ${n};Ada Quill;ada${n}@example.org;2024-03-10;${TOP};03/04/2026`,
      `FK 1${n};Bea Thorn;bea${n}@example.org;2024-03-10;${TOP};05/05/2026`,
    ];
    const { to } = await handIn(...lines(1));
    const { page, words } = await pageOf(to);
    expect(words).toContain(
      '1 line has a day that can be read in two ways, such as 03/04/2026. Until it is said how, that line is refused.',
    );
    expect(words).toContain('1 line refused');
    // Said once, and not line by line.
    expect(words).not.toContain('can be 3 April');
    // Pressed without a word it stays open.
    await desk.send(page, `${to}/columns`);
    const still = await pageOf(to);
    expect(still.words).toContain('1 line refused');
    await desk.send(still.page, `${to}/columns`, { dayOrder: 'month-first' });
    const said = await pageOf(to);
    expect(said.words).not.toContain('two ways');
    expect(said.words).toContain('last oiled on 4 March 2026');
    const second = await pageOf((await handIn(...lines(2))).to);
    expect(second.words).toContain('last oiled on 4 March 2026');
  });

  it('asks for the order of days anew where the table before had none to ask for', async () => {
    const lines = (n: number, oiled: string) => [
      `${NAMES};Last service`,
      `FK ${n};Ada Quill;ada${n}@example.org;2024-03-10;${TOP};${oiled}`,
    ];
    const { to } = await handIn(...lines(1, '2026-05-20'));
    await desk.send(await desk.open(to), `${to}/columns`, { 'column/7': 'lubricatedOn' });
    expect((await pageOf(to)).words).toContain('last oiling of 1 top');
    const second = await pageOf((await handIn(...lines(2, '03/04/2026'))).to);
    expect(second.words).toContain('1 line has a day that can be read in two ways');
    // One whose days told it is remembered.
    const told = await handIn(...lines(3, '25/12/2025'));
    await desk.send(await desk.open(told.to), `${told.to}/columns`);
    const next = await pageOf((await handIn(...lines(4, '03/04/2026'))).to);
    expect(next.words).toContain('last oiled on 3 April 2026');
  });

  it('says whom a round then writes to of those on record, too', async () => {
    const day = { fittedOn: '2020-03-10' };
    const owner = (name: string) => ({ name, email: `${name.toLowerCase()}@example.org` });
    const named = ['Ada', 'Bea', 'Cec', 'Dan', 'Eve'];
    const tops: string[] = [];
    for (const [nth, name] of named.entries()) {
      const car = { registration: `FK ${nth}` };
      const { topId } = await fitted(shop, { owner: owner(name), car, top: day });
      tops.push(topId);
      await shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', doneOn: '2023-03-10' });
    }
    // A joint that was stiff halves the months.
    await shop.post(`/v1/tops/${tops[3]}/visits`, {
      kind: 'look',
      doneOn: '2026-01-10',
      readings: [{ pivot: 'L-MAIN', state: 'stiff', oiled: false }],
    });
    await shop.post(`/v1/tops/${tops[4]}/visits`, { kind: 'lubrication', plannedOn: '2026-07-22' });
    const { to } = await handIn(
      'Reg;Customer;Mail;Last oiled',
      // Due soon; not for long; late for longer than letters are written; due soon, being stiff; booked.
      'FK 0;Ada;ada@example.org;2025-08-01',
      'FK 1;Bea;bea@example.org;2026-06-01',
      'FK 2;Cec;cec@example.org;2023-06-01',
      'FK 3;Dan;dan@example.org;2026-01-20',
      'FK 4;Eve;eve@example.org;2025-08-01',
    );
    const { page, words } = await pageOf(to);
    expect(words).toContain(
      'Row 5: FK 3: last oiled: 10 March 2023 → 20 January 2026; next due on 20',
    );
    expect(words).toContain('2 owners will be written to within a day');
    expect(words).toContain('1 owner is late for longer than letters are written');
    await desk.send(page, `${to}/take`);
    const { letters } = (await shop.post('/v1/round', {})).body;
    const oil = letters.filter(({ kind }: { kind: string }) => kind.startsWith('lubrication-'));
    expect(oil.map(({ to: reader }: { to: { name: string } }) => reader.name).sort()).toEqual([
      'Ada',
      'Dan',
    ]);
  });

  it('names the lines that know less than the records', async () => {
    const { topId } = await fitted(shop);
    const done = { kind: 'lubrication', doneOn: '2026-06-01' };
    await shop.post(`/v1/tops/${topId}/visits`, done);
    const { to } = await handIn(
      'Reg;Customer;Mail;Last oiled',
      'FK 1;Ada Quill;ada@example.org;2025-06-01',
    );
    const { words } = await pageOf(to);
    expect(words).toContain(
      '1 line names an earlier oiling than the records: the later one stands',
    );
    expect(words).toContain('Row 2: FK 1: the table says 1 June 2025, the records 1 June 2026');
    expect(words).toContain('1 line says nothing new');
  });

  it('is understood and told in German', async () => {
    const { key } = await makeKey(
      shop.context,
      { name: 'Verdeckhaus Musterstadt', language: 'de', timeZone: 'Europe/Berlin' },
      'full',
    );
    shop.key = key;
    desk = await openDesk(shop);
    const top = 'vier Sitze von Hand;Stoff;Glas';
    const { to } = await handIn(
      'Kennzeichen;Kunde;E-Mail;Montiert am;Gestell;Bezug;Heckscheibe;Zuletzt geölt;Verdeck elektrisch',
      `FK 1;Ada Quill;ada@example.org;10.3.2024;${top};1.5.2026;ja`,
      `FK 2;Bea Thorn;bea@example.org;10.3.2024;${top};Mai 2026;nein`,
      `FK 3;Cec Loft;cec@example.org;10.3.2024;${top};1.3.2024;vielleicht`,
    );
    const { page, words } = await pageOf(to);
    expect(words).toContain(
      'Zeile 2: FK 1, Ada Quill: zuletzt geölt am 1. Mai 2026, wieder fällig am',
    );
    expect(words).toContain('letztes Ölen bei 1 Verdeck');
    expect(words).toContain('Zeile 3, zuletzt geölt: Das ist kein Tag. Schreiben Sie ihn als');
    expect(words).toContain(
      'Zeile 4, zuletzt geölt: Das ist, bevor das Verdeck am 10. März 2024 aufgezogen wurde.',
    );
    expect(words).toContain('Zeile 4, Verdeck mit Motor: Schreiben Sie eines von: ja; nein.');
    expect(words).toContain('„vielleicht“ (Verdeck mit Motor)');
    await desk.send(page, `${to}/take`);
    const [only] = (await shop.get('/v1/tops')).body.items;
    expect([only.powered, only.lubrication.lastOn]).toEqual([true, '2026-05-01']);
    const car = await desk.open(`/cars/${only.carId}`);
    expect(wordsOf(car.html)).toContain('Aus einer Wagentabelle; was an den Gelenken gefunden');
  });
});
