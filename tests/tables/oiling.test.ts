import * as fc from 'fast-check';
import { beforeEach, expect, it } from 'vitest';
import { PLACES, SALTS, USES } from '../../src/domain/lubrication/keeping.ts';
import { addDays } from '../../src/domain/calendar/day.ts';
import { visitsDoneByPattern } from '../../src/store/stock/stock-rows.ts';
import type { Caller } from '../../src/usecases/context/context.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { organisationIdOf } from '../../src/usecases/organisations/organisations.ts';
import { importTable } from '../../src/usecases/tables/import-table.ts';
import { handIn } from '../../src/usecases/tables/import-runs.ts';
import { takeInRun } from '../../src/usecases/tables/take-in-run.ts';
import { readTakingBack, undoFreeCars, undoRun } from '../../src/usecases/tables/take-back-run.ts';
import { TABLE_TOLD } from '../../src/usecases/own/visit-notes.ts';
import { eachDatabase } from '../setup/databases.ts';
import { runs } from '../setup/runs.ts';
import type { Workshop } from '../setup/workshop.ts';

const NOW = '2026-07-15T10:00:00.000Z';
const TODAY = '2026-07-15';
const SHOP = 'Elmyard Soft Tops';
const HEADER =
  'registration,owner name,email,place,salt,use,fitted on,frame pattern,material,window,last oiled,powered';
const TOP = 'four-seat-manual,cloth,glass';

interface Line {
  readonly registration?: string;
  readonly keeping?: string;
  readonly fittedOn?: string;
  readonly oiled: string;
  readonly powered?: string;
}

const line = ({ registration = 'FK 1', keeping = ',,', ...rest }: Line) => {
  const { fittedOn = '2024-03-10', oiled, powered = '' } = rest;
  const email = `${registration.replaceAll(' ', '').toLowerCase()}@example.org`;
  const top = fittedOn === '' ? ',,,' : `${fittedOn},${TOP}`;
  return `${registration},Ada Quill,${email},${keeping},${top},${oiled},${powered}`;
};
const addressIn = (to: unknown) => /[\w.]+@example\.org/.exec(JSON.stringify(to))?.[0];
const tableOf = (...lines: readonly Line[]) => [HEADER, ...lines.map(line)].join('\n');

eachDatabase('the last oiling in a table', ({ open }) => {
  let shop: Workshop;
  let caller: Caller;
  beforeEach(async () => {
    shop = await open(NOW);
    caller = programCaller(await organisationIdOf(shop.context, SHOP), 'desk');
    return () => shop.close();
  });

  const take = (text: string, more: Partial<Parameters<typeof importTable>[2]> = {}) =>
    importTable(shop.context, Buffer.from(text), { organisation: SHOP, dryRun: false, ...more });
  async function takeIn(text: string): Promise<string> {
    const file = { name: 'cars.csv', bytes: Buffer.from(text) };
    const run = await handIn(shop.context, caller, file, {});
    const progress = () => undefined;
    await takeInRun(shop.context, caller, run, { goodLinesOnly: false, progress });
    return run;
  }
  const topOf = async (registration: string) => {
    const { body } = await shop.get(`/v1/cars?search=${encodeURIComponent(registration)}`);
    return (await shop.get(`/v1/tops?carId=${body.items[0].id}`)).body.items[0];
  };
  const visitsOf = async (registration: string) => {
    const { id } = await topOf(registration);
    return (await shop.get(`/v1/tops/${id}/visits`)).body.items;
  };
  const lettersNow = async () => (await shop.get('/v1/letters?limit=200')).body.items;
  const faultsOf = (text: string, more: Partial<Parameters<typeof importTable>[2]> = {}) =>
    take(text, more).then(
      () => [],
      (fault: { refusal: { faults: { pointer: string; detail: string }[] } }) =>
        fault.refusal.faults.map(({ pointer, detail }) => `${pointer}: ${detail}`),
    );

  it('makes the next oiling due on the day on which a visit of that day, typed by hand, makes it due', async () => {
    const day = fc.integer({ min: 0, max: 900 }).map((back) => addDays(TODAY, -back));
    const kept = fc.tuple(
      fc.constantFrom(...PLACES),
      fc.constantFrom(...SALTS),
      fc.constantFrom(...USES),
    );
    let nth = 0;
    await fc.assert(
      fc.asyncProperty(day, kept, fc.boolean(), async (oiled, keeping, isKnown) => {
        nth += 1;
        const [place, salt, use] = keeping;
        const both = { keeping: keeping.join(','), fittedOn: '2024-01-02' };
        const [byTable, byHand] = [`T ${nth}`, `H ${nth}`];
        await take(tableOf({ ...both, registration: byHand, oiled: '' }));
        const top = await topOf(byHand);
        const done = { kind: 'lubrication', doneOn: oiled };
        expect((await shop.post(`/v1/tops/${top.id}/visits`, done)).status).toBe(201);
        // The car may be on record already, or come with the oiling.
        if (isKnown) await take(tableOf({ ...both, registration: byTable, oiled: '' }));
        const { tally } = await take(tableOf({ ...both, registration: byTable, oiled }));
        expect(tally['oilings']).toBe(1);
        const { id: _a, carId: _b, ...is } = await topOf(byTable);
        const { id: _c, carId: _d, ...was } = await topOf(byHand);
        expect(is).toEqual(was);
        expect(is.lubrication.lastOn).toBe(oiled);
        expect([place, salt, use]).not.toContain(undefined);
      }),
      { numRuns: runs(20), endOnFailure: true },
    );
  }, 120_000);

  // RFC 7529, 4.1 (SKIP=BACKWARD): a year after 29 February is 28 February where the year has no 29th.
  it('is the anchor of the years to come, in leap years too', async () => {
    shop.setNow('2024-06-01T10:00:00.000Z');
    const keeping = 'heated-garage,none,summer';
    await take(tableOf({ keeping, fittedOn: '2023-05-01', oiled: '29.2.2024' }));
    const { lubrication } = await topOf('FK 1');
    expect(lubrication).toMatchObject({
      intervalMonths: 12,
      lastOn: '2024-02-29',
      dueOn: '2025-02-28',
    });
  });

  it('is a visit of which nothing is known but the day, by whoever took the table in', async () => {
    await takeIn(tableOf({ oiled: '2026-05-02' }));
    const [visit, ...others] = await visitsOf('FK 1');
    expect(others).toEqual([]);
    expect(visit).toMatchObject({
      kind: 'lubrication',
      state: 'done',
      doneOn: '2026-05-02',
      minutes: null,
      readings: [],
      findings: [],
      notes: TABLE_TOLD,
    });
    const { id } = await topOf('FK 1');
    const { items } = (await shop.get(`/v1/tops/${id}/pivots`)).body;
    expect(items.length).toBeGreaterThan(0);
    for (const pivot of items) expect(pivot.lastReading).toBeNull();
    const { sql, records } = shop.context.store;
    expect(await sql.all('SELECT * FROM "reading"')).toEqual([]);
    const entry = await records.trailEntry.findFirstOrThrow({ where: { visitId: visit.id } });
    expect(entry).toMatchObject({ kind: 'visit', authorName: 'desk' });
    // The diary shows what stood in it, not what a table told.
    const feed = (await shop.post('/v1/feeds')).body.url as string;
    const diary = async () => String((await shop.get(new URL(feed).pathname)).body);
    expect(await diary()).not.toContain('FK 1');
    // A visit that looked at nothing tells nothing of how often parts are needed.
    const { organisationId } = caller;
    expect(await visitsDoneByPattern(sql, organisationId)).toEqual([]);
    const looked = { kind: 'lubrication', doneOn: '2026-06-02' };
    const readings = [{ pivot: 'L-MAIN', state: 'free', oiled: true }];
    await shop.post(`/v1/tops/${id}/visits`, { ...looked, readings });
    expect(await diary()).toContain('FK 1');
    expect(await visitsDoneByPattern(sql, organisationId)).toEqual([
      { framePattern: 'four-seat-manual', visits: 1 },
    ]);
  });

  it('is told to nobody, and has only those written to whose oil is due now', async () => {
    const yesterday = addDays(TODAY, -1);
    await take(
      tableOf(
        { registration: 'FK 1', oiled: yesterday },
        { registration: 'FK 2', oiled: '' },
        { registration: 'FK 3', fittedOn: '2021-03-10', oiled: '2025-08-01' },
        { registration: 'FK 4', fittedOn: '2021-03-10', oiled: '2025-06-20' },
      ),
    );
    await shop.post('/v1/round', {});
    const letters = await lettersNow();
    const oil = letters.filter(({ kind }: { kind: string }) => /^lubrication|^visit/.test(kind));
    // The second was fitted in 2024 and is late for longer than letters are written.
    expect(oil.map(({ kind, to }: { kind: string; to: unknown }) => [kind, addressIn(to)])).toEqual(
      [
        ['lubrication-ahead', 'fk3@example.org'],
        ['lubrication-late', 'fk4@example.org'],
      ],
    );
    // The same day typed by hand is reported to the owner, who was there.
    const { id } = await topOf('FK 2');
    await shop.post(`/v1/tops/${id}/visits`, { kind: 'lubrication', doneOn: yesterday });
    const kinds = (await lettersNow()).map(({ kind }: { kind: string }) => kind);
    expect(kinds).toContain('visit-report');
  });

  it('teaches nothing of how many owners come again, for it names one coming of many', async () => {
    const fittedOn = '2020-03-10';
    await take(
      tableOf(
        { registration: 'FK 1', fittedOn, oiled: '2026-05-02' },
        { registration: 'FK 2', fittedOn, oiled: '2022-05-02' },
        { registration: 'FK 3', fittedOn, oiled: '' },
      ),
    );
    const outlook = async () => (await shop.get('/v1/outlook?years=2')).body;
    const nothing = { basis: 'shop rule', observed: { due: 0, came: 0 } };
    expect(await outlook()).toMatchObject({ ...nothing, inCareNow: 1 });
    // One on record by hand before a table named the last: what was seen of it counts.
    await take('registration,owner name,email\nFK 4,Ada Quill,fk4@example.org');
    shop.setNow('2026-07-15T11:00:00.000Z');
    const { body } = await shop.get('/v1/cars?search=FK4');
    const cover = { material: 'cloth' };
    const top = { carId: body.items[0].id, fittedOn, framePattern: 'four-seat-manual', cover };
    const made = await shop.post('/v1/tops', { ...top, window: 'glass' });
    await shop.post(`/v1/tops/${made.body.id}/visits`, {
      kind: 'lubrication',
      doneOn: '2021-03-12',
    });
    shop.setNow('2026-07-15T12:00:00.000Z');
    await take(tableOf({ registration: 'FK 4', fittedOn: '', oiled: '2026-06-01' }));
    expect((await outlook()).observed).toEqual({ due: 2, came: 1 });
  });

  it('cancels what waits and is true no more, and leaves a booking where it stands', async () => {
    const both = (fittedOn: string, oiled: string) =>
      tableOf({ fittedOn, oiled }, { registration: 'FK 2', fittedOn, oiled });
    await take(both('2025-07-01', ''));
    const { id } = await topOf('FK 2');
    const booked = await shop.post(`/v1/tops/${id}/visits`, {
      kind: 'lubrication',
      plannedOn: '2026-07-22',
    });
    expect(booked.status).toBe(201);
    await shop.post('/v1/round', {});
    const oil = async () =>
      (await lettersNow())
        .filter(({ kind }: { kind: string }) => kind.startsWith('lubrication-'))
        .map(({ state, to }: { state: string; to: unknown }) => [state, addressIn(to)]);
    expect(await oil()).toEqual([['planned', 'fk1@example.org']]);
    await take(both('', '2026-07-10'));
    expect(await oil()).toEqual([['cancelled', 'fk1@example.org']]);
    const kinds = (await lettersNow()).map(({ kind }: { kind: string }) => kind);
    expect(kinds).not.toContain('visit-report');
    expect((await shop.get(`/v1/visits/${booked.body.id}`)).body.state).toBe('booked');
  });

  it('is recorded once; a later day is added, an earlier one is said and changes nothing', async () => {
    const first = tableOf({ oiled: '2025-05-02' });
    expect((await take(first)).tally).toMatchObject({ cars: 1, oilings: 1 });
    const again = await take(first);
    expect([again.tally['oilings'], again.tally['changed'], again.table?.same]).toEqual([0, 0, 1]);
    const later = await take(tableOf({ fittedOn: '', oiled: '2026-05-20' }), { dryRun: true });
    expect(later.tally).toMatchObject({ oilings: 1, changed: 1 });
    expect(await visitsOf('FK 1')).toHaveLength(1);
    await take(tableOf({ fittedOn: '', oiled: '2026-05-20' }));
    expect((await topOf('FK 1')).lubrication.lastOn).toBe('2026-05-20');
    const old = await take(first);
    expect([old.tally['oilings'], old.table?.same, old.table?.oiledSince]).toEqual([0, 1, 1]);
    const days = (await visitsOf('FK 1')).map(({ doneOn }: { doneOn: string }) => doneOn);
    expect(days).toEqual(['2025-05-02', '2026-05-20']);
    // One that was typed by hand on the very day is that oiling.
    const { id } = await topOf('FK 1');
    await shop.post(`/v1/tops/${id}/visits`, { kind: 'lubrication', doneOn: '2026-07-01' });
    const known = await take(tableOf({ oiled: '1.7.2026' }));
    expect([known.tally['oilings'], known.table?.same]).toEqual([0, 1]);
  });

  it('comes with the top of a car that had none', async () => {
    await take('registration,owner name,email\nFK 1,Ada Quill,fk1@example.org');
    const { tally } = await take(tableOf({ oiled: '2026-05-20', powered: 'x' }));
    expect(tally).toMatchObject({ cars: 0, tops: 1, oilings: 1, changed: 1 });
    const top = await topOf('FK 1');
    expect([top.powered, top.lubrication.lastOn]).toEqual([true, '2026-05-20']);
  });

  it('is refused by row, with what to do, where it cannot be', async () => {
    await take(tableOf({ registration: 'FK 9', oiled: '' }));
    await take('registration,owner name,email\nFK 8,Ada Quill,fk8@example.org');
    const faults = await faultsOf(
      tableOf(
        { registration: 'FK 1', oiled: '2026-07-16' },
        { registration: 'FK 2', oiled: '2024-03-09' },
        { registration: 'FK 3', oiled: 'May 2025' },
        { registration: 'FK 4', oiled: '31.6.2025' },
        { registration: 'FK 5', fittedOn: '', oiled: '2025-05-01' },
        { registration: 'FK 8', fittedOn: '', oiled: '2025-05-01' },
        { registration: 'FK 9', fittedOn: '', oiled: '2023-05-01' },
        { registration: 'FK 6', fittedOn: 'soon', oiled: '2025-05-01' },
        { registration: 'FK 7', oiled: '2024-03-10' },
      ),
    );
    const oiling = (row: number, detail: string) => `row ${row}, last oiled: ${detail}`;
    const noDay =
      'This is no day. Write it as YYYY-MM-DD; where you know the month alone, its first day; where you know nothing, leave the cell empty.';
    const before =
      'This is before the top was fitted on 2024-03-10. Put the wrong day right; where the old top was oiled, leave the cell empty: the next oiling is then reckoned from the fitting.';
    const without =
      'An oiling belongs to a top, and there is none of this car. Fill the cells about the top too, or leave this one empty.';
    expect(faults).toEqual([
      oiling(
        2,
        'This day is still to come. Write the day on which the pivots were oiled last, or leave the cell empty.',
      ),
      oiling(3, before),
      oiling(4, noDay),
      oiling(5, noDay),
      oiling(6, without),
      oiling(7, without),
      oiling(8, before),
      'row 9, fitted on: Give a calendar day that exists, as YYYY-MM-DD, from 1900 to 2200.',
    ]);
    expect((await shop.get('/v1/cars')).body.items).toHaveLength(2);
  });

  it.each(['', '–', '?', 'never', 'Nie', 'noch nicht', 'unbekannt'])(
    'says nothing where the cell holds "%s"',
    async (oiled) => {
      const { tally } = await take(tableOf({ oiled }));
      expect(tally).toMatchObject({ cars: 1, tops: 1, oilings: 0 });
      expect((await topOf('FK 1')).lubrication.lastOn).toBeNull();
    },
  );

  it('is not read in one of two ways before somebody says which', async () => {
    const table = tableOf(
      { registration: 'FK 1', oiled: '03/04/2026' },
      { registration: 'FK 2', oiled: '05/05/2026' },
    );
    expect(await faultsOf(table)).toEqual([
      'row 2, last oiled: 03/04/2026 can be 2026-04-03 or 2026-03-04. Say in which order the days of this table are written, or write it as YYYY-MM-DD.',
    ]);
    await take(table, { days: 'month-first' });
    expect((await topOf('FK 1')).lubrication.lastOn).toBe('2026-03-04');
    // Days of another column tell it too, whether anything is taken from that or not.
    const told = `${table},31/01/1970`.replace('powered', 'powered,born on');
    await take(told.replaceAll('FK ', 'FL '));
    expect((await topOf('FL 1')).lubrication.lastOn).toBe('2026-04-03');
    // Days that contradict each other tell nothing.
    expect(
      await faultsOf(`${told}\n${line({ registration: 'FK 3', oiled: '12/31/2025' })}`),
    ).toHaveLength(2);
  });

  it('asks after a column of days that may be it, and takes nothing from it unasked', async () => {
    const table = [
      'registration,owner name,email,fitted on,frame pattern,material,window,Last service,Remark',
      `FK 1,Ada Quill,fk1@example.org,2024-03-10,${TOP},2026-05-20,since 2020`,
    ].join('\n');
    const { table: said } = await take(table);
    expect(said?.mayBeOiling).toEqual(['Last service']);
    expect(said?.unused).toEqual(['Last service', 'Remark']);
    expect((await topOf('FK 1')).lubrication.lastOn).toBeNull();
    const named = await take(table.replace('Last service', 'Last service of the pivots'));
    expect(named.table?.mayBeOiling).toEqual([]);
    expect((await topOf('FK 1')).lubrication.lastOn).toBe('2026-05-20');
  });

  it('is taken back with what the table brought, and the day before it counts again', async () => {
    await takeIn(tableOf({ oiled: '2025-05-02' }));
    const before = await topOf('FK 1');
    const run = await takeIn(
      tableOf({ fittedOn: '', oiled: '2026-05-20' }, { registration: 'FK 2', oiled: '2026-06-20' }),
    );
    const visits = () => shop.context.store.sql.all('SELECT "doneOn" FROM "visit" ORDER BY 1');
    expect(await visits()).toHaveLength(3);
    expect((await readTakingBack(shop.context, caller, run))?.against).toEqual([]);
    await undoRun(shop.context, caller, run);
    expect(await visits()).toEqual([{ doneOn: '2025-05-02' }]);
    expect(await topOf('FK 1')).toEqual(before);
    expect((await shop.get('/v1/cars')).body.items).toHaveLength(1);
  });

  it('is not taken back once somebody added to it, and other cars still are', async () => {
    await takeIn(tableOf({ oiled: '' }));
    const run = await takeIn(
      tableOf(
        { oiled: '2026-05-20' },
        { registration: 'FK 2', oiled: '2026-05-20' },
        { registration: 'FK 3', oiled: '2026-05-20' },
      ),
    );
    const putRight = async (registration: string) => {
      const [visit] = await visitsOf(registration);
      const put = await shop.call(
        'PUT',
        `/v1/visits/${visit.id}/work`,
        { kind: 'lubrication', doneOn: '2026-05-19' },
        { 'if-match': '*' },
      );
      expect(put.status).toBe(200);
    };
    await putRight('FK 2');
    await expect(undoRun(shop.context, caller, run)).rejects.toThrow(
      'It cannot be taken back any more: visits were recorded or booked (1).',
    );
    await putRight('FK 1');
    await expect(undoRun(shop.context, caller, run)).rejects.toThrow(
      'visits were recorded or booked (1); what it changed was changed again.',
    );
    expect(await undoFreeCars(shop.context, caller, run)).toBe(1);
    const cars = (await shop.get('/v1/cars')).body.items as { registration: string }[];
    expect(cars.map(({ registration }) => registration)).toEqual(['FK 1', 'FK 2']);
    const back = await readTakingBack(shop.context, caller, run);
    expect(back?.cars.map(({ keeps }) => keeps)).toEqual([['visits were recorded or booked']]);
  });

  it('of a later table stands against taking the earlier one back', async () => {
    const run = await takeIn(tableOf({ oiled: '2025-05-02' }));
    await takeIn(tableOf({ oiled: '2026-05-20' }));
    await expect(undoRun(shop.context, caller, run)).rejects.toThrow('visits were recorded');
  });

  it.each([
    ['yes', true],
    ['Ja', true],
    ['x', true],
    ['1', true],
    ['elektrisch', true],
    ['electro-hydraulic', true],
    ['✓', true],
    ['no', false],
    ['Nein', false],
    ['von Hand', false],
    ['manual', false],
    ['0', false],
    ['', false],
    ['–', false],
  ])('a top is powered where its line says "%s": %s', async (powered, is) => {
    await take(tableOf({ oiled: '', powered }));
    expect((await topOf('FK 1')).powered).toBe(is);
  });

  it('a top without a word of a motor is what its frame is, and one on record is not changed', async () => {
    const drawn = tableOf({ oiled: '' }).replace('four-seat-manual', 'four-seat-powered');
    await take(drawn);
    expect((await topOf('FK 1')).powered).toBe(true);
    expect(await faultsOf(drawn.replace(/,$/, ',by hand'))).toEqual([
      'row 2, powered: The top on record says yes for powered. Put it right on its page.',
    ]);
    expect(
      await faultsOf(tableOf({ registration: 'FK 2', oiled: '', powered: 'perhaps' })),
    ).toEqual(['row 2, powered: Write one of: yes; no.']);
  });
});
