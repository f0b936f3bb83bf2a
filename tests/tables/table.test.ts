import { readFileSync, writeFileSync } from 'node:fs';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { exportTable } from '../../src/usecases/tables/export-table.ts';
import { importFile } from '../../src/usecases/tables/import-file.ts';
import { guarded, tableText, unguarded } from '../../src/usecases/records/table-text.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { NOW, ownFolder } from '../records/lived-in.ts';

const SHOP = 'Elmyard Soft Tops';
const NAMES =
  'owner name,email,phone,time zone,language,registration,place,salt,use,folds per year,folded limit days,fitted on,frame pattern,material,window';

const folder = ownFolder();
afterAll(() => folder.remove());

function take(
  { context }: Workshop,
  table: string | Buffer,
  { organisation = SHOP, dryRun = false }: { organisation?: string | null; dryRun?: boolean } = {},
) {
  const file = folder.path('table.csv');
  writeFileSync(file, table);
  return importFile(context, { file, organisation, dryRun });
}

eachDatabase('a table of cars', (databases) => {
  let workshop: Workshop;
  beforeAll(async () => {
    workshop = await databases.open(NOW);
  });
  afterAll(() => workshop.close());

  // Semicolons, a mark before UTF-8, columns in another order, names in other cases.
  const TABLE = [
    '\uFEFFRegistration;Owner Name;EMAIL;phone;place;salt;use;language;time_zone;fitted on;frame pattern;material;window;folds per year;folded limit days',
    `FK 10;"Quill; Ada";ada@example.org;'+44 20 7946 0000;outdoors;by-sea;daily;;;2024-02-29;four-seat-powered;vinyl;clear-vinyl;300;2`,
    'FK 11;;Ada@Example.org;;heated-garage;none;summer;;;;;;;;',
    ';;;;;;;;;;;;;;',
    'FK 12;Jürgen Ölmann;juergen@example.net;;dry-garage;winter-roads;all-year;de;Europe/Berlin;2026-07-15;two-seat-manual;cloth;glass;;',
    '',
  ].join('\r\n');

  it('says what it would add, and adds nothing, in a dry run', async () => {
    const named = TABLE.replace('FK 11;;', 'FK 11;Quill; Ada;').replace(
      'Quill; Ada;A',
      '"Quill; Ada";A',
    );
    expect((await take(workshop, named, { dryRun: true })).tally).toEqual({
      owners: 2,
      cars: 3,
      tops: 2,
      oilings: 0,
      changed: 0,
    });
    expect((await workshop.get('/v1/owners')).body.items).toEqual([]);
  });

  it('is refused whole for one fault', async () => {
    await expect(take(workshop, TABLE)).rejects.toThrow('row 3, owner name: Fill this cell.');
    expect((await workshop.get('/v1/owners')).body.items).toEqual([]);
  });

  it('makes owners, cars and tops, as if they had come over HTTP', async () => {
    const named = TABLE.replace('FK 11;;', 'FK 11;"Quill; Ada";');
    await take(workshop, named);
    const owners = (await workshop.get('/v1/owners')).body.items;
    expect(owners).toMatchObject([
      { name: 'Quill; Ada', email: 'ada@example.org', phone: '+44 20 7946 0000', language: 'en' },
      { name: 'Jürgen Ölmann', timeZone: 'Europe/Berlin', language: 'de' },
    ]);
    const cars = (await workshop.get('/v1/cars')).body.items;
    expect(cars).toMatchObject([
      { registration: 'FK 10', ownerId: owners[0].id, handbook: { foldedLimitDays: 2 } },
      { registration: 'FK 11', ownerId: owners[0].id, handbook: { foldedLimitDays: 3 } },
      { registration: 'FK 12', ownerId: owners[1].id, timeZone: 'Europe/Berlin' },
    ]);
    expect(cars[0].keeping).toEqual({
      place: 'outdoors',
      salt: 'by-sea',
      use: 'daily',
      foldsPerYear: 300,
      unmovedDays: null,
    });
    // The same car over HTTP has the same interval, due day and pivots.
    const car = await workshop.post('/v1/cars', {
      ownerId: owners[1].id,
      registration: 'FK 99',
      keeping: { place: 'outdoors', salt: 'by-sea', use: 'daily', foldsPerYear: 300 },
    });
    const posted = await workshop.post('/v1/tops', {
      carId: car.body.id,
      fittedOn: '2024-02-29',
      framePattern: 'four-seat-powered',
      cover: { material: 'vinyl' },
      window: 'clear-vinyl',
    });
    const [top, ...others] = (await workshop.get(`/v1/tops?carId=${cars[0].id}`)).body.items;
    expect(others).toEqual([]);
    const { id: _a, carId: _b, ...made } = top;
    const { id: _c, carId: _d, ...expected } = posted.body;
    expect(made).toEqual(expected);
    expect(made.lubrication.dueOn).toBe('2024-07-29');
  });

  it('fills in what a car on record lacks, and is refused where it contradicts its top or owner', async () => {
    const row = (registration: string, rest = 'street,none,summer,,,,,,') =>
      `${NAMES}\n"Quill; Ada",ada@example.org,,,,${registration},${rest}`;
    expect((await take(workshop, row('FK 13'))).tally).toEqual({
      owners: 0,
      cars: 1,
      tops: 0,
      oilings: 0,
      changed: 0,
    });
    expect((await workshop.get('/v1/owners')).body.items).toHaveLength(2);
    // Written in another way it is the same car; an empty cell says nothing of it.
    const again = await take(
      workshop,
      row('fk-13', 'damp-garage,,,40,,2025-05-01,two-seat-manual,cloth,glass'),
    );
    expect(again.tally).toEqual({ owners: 0, cars: 0, tops: 1, oilings: 0, changed: 1 });
    const { body } = await workshop.get('/v1/cars?search=FK13');
    expect(body.items).toMatchObject([
      {
        registration: 'FK 13',
        keeping: { place: 'damp-garage', salt: 'none', use: 'summer', foldsPerYear: 40 },
      },
    ]);
    const same = await take(workshop, row('FK 13', 'damp-garage,none,,,,,,,'));
    expect([same.tally, same.table?.same]).toEqual([
      { owners: 0, cars: 0, tops: 0, oilings: 0, changed: 0 },
      1,
    ]);
    await expect(
      take(workshop, row('FK 13', ',,,,,2025-05-02,two-seat-manual,cloth,glass')),
    ).rejects.toThrow('row 2, fitted on: The top on record says 2025-05-01 for fitted on.');
    await expect(
      take(workshop, row('FK 13').replace('ada@example.org', 'bea@example.org')),
    ).rejects.toThrow('row 2, email: FK 13 is Quill; Ada’s here. If it was sold, say so');
  });

  it('comes back as it went out', async () => {
    const out = folder.path(`${databases.dialect}.csv`);
    const url = await databases.fresh();
    const other = await openWorkshop(NOW, url);
    const cells = [
      [
        'Ada "the =1+1" Quill',
        'ada@example.org',
        '+44 1',
        'Europe/London',
        'en',
        '-FK 1',
        'street',
        'none',
        'summer',
        20,
        4,
        '2025-03-01',
        'two-seat-manual',
        'cloth',
        'glass',
        '2026-05-20',
        // A frame without a ram that a motor was built onto.
        'yes',
      ],
      [
        "'@Bea, Ö",
        'bea@example.org',
        null,
        'Europe/Vienna',
        'de-AT',
        'FK;2',
        'outdoors',
        'sea-front',
        'daily',
        null,
        3,
        null,
        null,
        null,
        null,
      ],
    ];
    const names = [...NAMES.split(','), 'last oiled', 'powered'];
    const sent = tableText([names, ...cells], ',');
    await take(other, sent);
    await exportTable(url, { file: out, organisation: null, separator: ';' });
    const text = readFileSync(out, 'utf8');
    expect(text).toBe(
      [
        '\uFEFFowner name;email;phone;postal address;postcode;time zone;language;registration;make;model;year;colour;place;salt;use;folds per year;folded limit days;coldest for folding;fitted on;last oiled;frame pattern;powered;material;window;cover name;cover colour;makers reference;window made',
        `"Ada ""the =1+1"" Quill";ada@example.org;'+44 1;;;Europe/London;en;'-FK 1;;;;;street;none;summer;20;4;;2025-03-01;2026-05-20;two-seat-manual;yes;cloth;glass;;;;`,
        `''@Bea, Ö;bea@example.org;;;;Europe/Vienna;de-AT;"FK;2";;;;;outdoors;sea-front;daily;;3;;;;;;;;;;;`,
        '',
      ].join('\r\n'),
    );
    const third = await databases.open(NOW);
    await take(third, text);
    const without = (items: { id: string }[]) =>
      items.map((item) => ({ ...item, id: '', ownerId: '', carId: '' }));
    for (const path of ['/v1/owners', '/v1/cars', '/v1/tops']) {
      const [was, is] = [await other.get(path), await third.get(path)];
      expect(without(is.body.items)).toEqual(without(was.body.items));
      expect(is.body.items.length).toBeGreaterThan(0);
    }
    await other.close();
    await third.close();
  });
});

describe('a faulty table', () => {
  let workshop: Workshop;
  beforeAll(async () => {
    workshop = await openWorkshop(NOW);
  });
  afterAll(() => workshop.close());
  const faultsOf = async (table: string | Buffer, options?: Parameters<typeof take>[2]) =>
    take(workshop, table, options).then(
      () => [],
      (fault: { refusal?: { faults?: { pointer: string; detail: string }[] }; message: string }) =>
        fault.refusal?.faults?.map(({ pointer, detail }) => `${pointer}: ${detail}`) ?? [
          fault.message,
        ],
    );

  it('is refused with every fault by its row and column', async () => {
    const table = [
      NAMES,
      'Ada,ada@example.org,,,,FK 1,street,none,summer,,,,,,',
      'Ada,ada at example,,Mars/Phobos,,FK 2,garage,none,now and then,many,0,2025-02-29,,,',
      'Bea,ADA@example.org,+44 1,,,FK 1,street,none,summer,,,,,,',
      'Cec,cec@example.org,,,,FK 4,street,none,summer,,,2026-07-16,no-such,cloth,glass',
      'Dot,dot@example.org,,,,FK 5,street,none,summer,,,2025-01-01,two-seat-manual,,glass',
      'Eve,eve@example.org,,,,FK 6,street,none,summer,,,,,,,surplus',
      '"Fay\nBcc: x",fay@example.org,,,,FK 7,street,none,summer,,,,,,',
    ].join('\n');
    expect(await faultsOf(table)).toEqual([
      'row 3, email: Give one plain address, such as name@example.org.',
      'row 3, time zone: Give an IANA time zone name, such as Europe/London.',
      'row 3, place: Write one of: heated-garage; dry-garage; damp-garage; street; outdoors.',
      'row 3, use: Write one of: summer; all-year; daily.',
      'row 3, folds per year: Give a whole number.',
      'row 3, folded limit days: A limit is one day or more.',
      'row 3, fitted on: Give a calendar day that exists, as YYYY-MM-DD, from 1900 to 2200.',
      'row 3, frame pattern: Fill this cell too, or leave all cells about the top empty.',
      'row 3, material: Fill this cell too, or leave all cells about the top empty.',
      'row 3, window: Fill this cell too, or leave all cells about the top empty.',
      'row 4, owner name: Row 2 has the same address and says "Ada" here. Write the same in both.',
      'row 4, phone: Row 2 has the same address and says nothing here. Write the same in both.',
      'row 4, registration: FK 1 stands in row 2 too. Keep one.',
      'row 5, fitted on: This day is still to come.',
      'row 5, frame pattern: There is no such frame pattern. There are: two-seat-manual; four-seat-manual; four-seat-powered.',
      'row 6, material: Fill this cell too, or leave all cells about the top empty.',
      'row 7: This row has more cells than there are columns. Quote cells that hold a separator.',
      'row 8, owner name: Leave out line breaks and control characters.',
    ]);
    expect((await workshop.get('/v1/owners')).body.items).toEqual([]);
  });

  it.each<[string, object, number, string | number]>([
    ['owners', { name: 'x'.repeat(201), email: 'a@example.org' }, 0, 'x'.repeat(201)],
    ['owners', { name: 'A', email: 'a@localhost' }, 1, 'a@localhost'],
    ['owners', { name: 'A', email: 'a@example.org', phone: '1'.repeat(51) }, 2, '1'.repeat(51)],
    ['owners', { name: 'A', email: 'a@example.org', timeZone: '+01:00' }, 3, "'+01:00"],
    ['owners', { name: 'A', email: 'a@example.org', language: 'English' }, 4, 'English'],
    ['cars', { registration: 'F'.repeat(21) }, 5, 'F'.repeat(21)],
    ['cars', { keeping: { foldsPerYear: 20_001 } }, 9, 20_001],
    ['cars', { handbook: { foldedLimitDays: 366 } }, 10, 366],
  ])('is held against the rules of POST /v1/%s: %j', async (path, body, column, cell) => {
    const keeping = { place: 'street', salt: 'none', use: 'summer' };
    const car = { ownerId: 'o', registration: 'FK 1', keeping };
    const given = body as { keeping?: object };
    const sent =
      path === 'owners' ? body : { ...car, ...body, keeping: { ...keeping, ...given.keeping } };
    const { status, body: problem } = await workshop.post(`/v1/${path}`, sent);
    expect(status).toBe(400);
    const cells = 'A,a@example.org,,,,FK 1,street,none,summer,,,,,,'.split(',');
    const table = `${NAMES}\n${cells.with(column, String(cell)).join(',')}`;
    const faults = await faultsOf(table);
    expect(faults).toEqual(
      problem.errors.map(
        ({ detail }: { detail: string }) => `row 2, ${NAMES.split(',')[column]}: ${detail}`,
      ),
    );
  });

  it.each<[string, string | Buffer, RegExp, object?]>([
    [
      'a missing column',
      'owner name,email\nA,a@example.org',
      /row 1: No column was found for "registration"\. The columns are: owner name, email\./,
    ],
    ['quotes that do not match', `${NAMES}\n"A,a@example.org`, /quotation marks do not match/],
    ['a cell of a novel', `${NAMES}\n${'x'.repeat(4_001)}`, /more than 4000 characters/],
    [
      'too many lines',
      `${NAMES}\n${'a,b\n'.repeat(20_001)}`,
      /too large: at most 8 MB, 20000 lines/,
    ],
    ['too many bytes', 'x'.repeat(8_000_001), /too large/],
    ['no table in it', 'only words', /There is no table in it/],
    ['a backup in its place', Buffer.from('SQLite format 3\0rest'), /Use foldkeep restore/],
    ['no organisation', NAMES, /--organisation NAME/, { organisation: null }],
    [
      'an unknown organisation',
      NAMES,
      /foldkeep key --organisation "Nobody"/,
      { organisation: 'Nobody' },
    ],
    ['nothing in it', '', /The file is empty/],
  ])('with %s is refused', async (_, table, words, options = {}) => {
    expect((await faultsOf(table, options)).join('\n')).toMatch(words);
  });
});

describe('a cell', () => {
  // OWASP, CSV Injection: cells beginning with = + - @, a tab or a carriage return are computed.
  const starts = ['=', '+', '-', '@', '\t', '\r'];

  it('is never taken for a formula', () => {
    for (const start of starts)
      expect(guarded(`${start}cmd|' /C calc'!A0`)).toBe(`'${start}cmd|' /C calc'!A0`);
    expect(guarded('plain - text = fine')).toBe('plain - text = fine');
    expect(guarded("O'Hara")).toBe("O'Hara");
  });

  it('comes back as it was, whatever stands in it', () => {
    const text = fc.string({ unit: fc.constantFrom(...starts, "'", 'a', ' ', '\uFF1D', ';', '"') });
    fc.assert(
      fc.property(text, (cell) => {
        const written = String(guarded(cell));
        expect(starts).not.toContain(written[0]);
        expect(unguarded(written)).toBe(cell);
      }),
    );
  });
});
