import * as fc from 'fast-check';
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import {
  choiceFrom,
  dayFrom,
  guessDayOrder,
  guessDecimal,
  numberFrom,
  twoDaysIn,
} from '../../src/domain/tables/cell-values.ts';
import { guessColumns } from '../../src/domain/tables/guess-columns.ts';
import { readTable } from '../../src/usecases/tables/read-table.ts';
import { workbookOf } from '../../src/usecases/tables/workbook.ts';
import { workbook } from './small-workbook.ts';

const table = (text: string | Buffer) => readTable(Buffer.from(text as string), {});

describe('a file with a table', () => {
  it.each<[string, string | Buffer, object]>([
    ['commas', 'a,b\n"x, y",2', { separator: ',', encoding: 'utf-8' }],
    ['semicolons, with commas in the cells', 'a;b\n1,5;2,5\n', { separator: ';' }],
    ['tabs', 'a\tb\nx, y; z\t2', { separator: '\t' }],
    [
      'lines of older Windows programs',
      Buffer.from('Größe,b\nJürgen,2', 'latin1'),
      { encoding: 'windows-1252' },
    ],
    [
      'two bytes a letter',
      Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from('a;b\nü;2', 'utf16le')]),
      { encoding: 'utf-16le', separator: ';' },
    ],
    [
      'two bytes a letter, without the mark',
      Buffer.from('Kennzeichen;b\nü;2', 'utf16le'),
      { encoding: 'utf-16le', separator: ';' },
    ],
    ['lines of old Macintosh programs', 'a;b\r1,5;2', { separator: ';' }],
    ['lists in the cells', 'a,b\nx; y; z,2\nu; v; w,3', { separator: ',' }],
  ])('with %s is read as it is', async (_, text, how) => {
    const read = await table(text);
    expect(read.readAs).toMatchObject(how);
    expect(read.header).toHaveLength(2);
    expect(read.rows[0]).toHaveLength(2);
  });

  it.each([
    ['a cell too many in one line', 'a;b;c\n1,5;2;3\n1,5;2;3;4'],
    ['the line that tells a spreadsheet of it', 'sep=;\na;b;c\n1,5;2;3'],
  ])('is parted by its separator beside %s', async (_, text) => {
    const read = await table(text);
    expect([read.header, read.rows[0], read.firstRow]).toEqual([
      ['a', 'b', 'c'],
      ['1,5', '2', '3'],
      2,
    ]);
  });

  it('is read with its letters, and with a title above it', async () => {
    const read = await table(Buffer.from('Unsere Kunden\n\nName;Straße\nJürgen Öl;Weg', 'latin1'));
    expect(read.header).toEqual(['Name', 'Straße']);
    expect([read.rows, read.firstRow]).toEqual([[['Jürgen Öl', 'Weg']], 4]);
  });

  it('comes back out of a workbook: texts, numbers, and nothing that is computed', async () => {
    const lines = [
      ['name', 'reg', 'n'],
      ['=1+1', '0012', 3],
      ['+44 20', '@x', -1.5],
      ['Öl & <b>', null, 0],
    ];
    const bytes = await workbookOf([{ name: 'cars', lines }]);
    const read = await readTable(bytes, {});
    expect(read.readAs).toMatchObject({ format: 'xlsx', sheet: 'cars', sheets: ['cars'] });
    expect([read.header, ...read.rows]).toEqual([
      ['name', 'reg', 'n'],
      ['=1+1', '0012', '3'],
      ['+44 20', '@x', '-1.5'],
      ['Öl & <b>', '', '0'],
    ]);
  });

  it('gives days of a workbook as days, and of a formula what its program kept', async () => {
    // SpreadsheetML (ECMA-376): 45352 is 1 March 2024 in the system of 1900; style 1 is a date.
    const bytes = workbook(
      '<row r="1"><c r="A1" t="inlineStr"><is><t>day</t></is></c><c r="B1" t="inlineStr"><is><t>sum</t></is></c></row>' +
        '<row r="2"><c r="A2" s="1"><v>45352</v></c><c r="B2"><f>1+1</f><v>7</v></c></row>',
    );
    expect((await readTable(bytes, {})).rows).toEqual([['2024-03-01', '7']]);
  });
});

describe('a file that would fill the machine', () => {
  it.each([
    ['is no workbook', Buffer.from(zipSync({ 'notes.txt': new Uint8Array(4) }))],
    ['is cut off', Buffer.from(zipSync({ 'xl/workbook.xml': new Uint8Array(99) })).subarray(0, 60)],
  ])('or %s is refused in words', async (_, bytes) => {
    await expect(readTable(bytes, {})).rejects.toThrow(/no workbook|damaged/);
  });
});

describe('a cell', () => {
  it('is a day in the order that all of them tell', () => {
    expect(guessDayOrder(['03/04/2024', '25/12/2023'], 'month-first')).toEqual({
      order: 'day-first',
      sure: true,
    });
    expect(guessDayOrder(['03/04/2024', '12/25/2023'], 'day-first')).toEqual({
      order: 'month-first',
      sure: true,
    });
    expect(guessDayOrder(['1.2.2024'], 'month-first')).toEqual({ order: 'day-first', sure: true });
    expect(guessDayOrder(['03/04/2024'], 'day-first')).toEqual({ order: 'day-first', sure: false });
    expect(guessDayOrder(['2024-02-01'], 'day-first').sure).toBe(true);
    // Of days that contradict each other, none is sure.
    expect(guessDayOrder(['25/12/2023', '26/12/2023', '12/25/2023'], 'month-first')).toEqual({
      order: 'day-first',
      sure: false,
    });
    expect(dayFrom('3/4/24', 'day-first', 2026)).toBe('2024-04-03');
    expect(dayFrom('3/4/87', 'month-first', 2026)).toBe('1987-03-04');
    expect(dayFrom('29.2.2023', 'day-first', 2026)).toBeNull();
    expect(dayFrom('spring', 'day-first', 2026)).toBeNull();
  });

  it.each<[string, readonly string[] | null]>([
    ['03/04/2026', ['2026-04-03', '2026-03-04']],
    ['3-4-26', ['2026-04-03', '2026-03-04']],
    ['04/04/2026', null],
    ['13/04/2026', null],
    ['04/13/2026', null],
    ['40/40/2026', null],
    // Points part days as in German, day first.
    ['3.4.2026', null],
    ['2026-04-03', null],
    ['3 April 2026', null],
  ])('can be two days, or one: %s', (cell, two) => {
    expect(twoDaysIn(cell, 2026)).toEqual(two);
  });

  it.each([
    ['15. März 2024', '2024-03-15'],
    ['15.März 2024', '2024-03-15'],
    ['1 Mrz 2024', '2024-03-01'],
    ['31. Okt. 2024', '2024-10-31'],
    ['March 15, 2024', '2024-03-15'],
    ['15th Sept 2024', '2024-09-15'],
    ['15. 3. 2024', '2024-03-15'],
    ['15 / 3 / 24', '2024-03-15'],
    ['31. Juni 2024', null],
    ['15. Ma 2024', null],
    ['15. Spring 2024', null],
    ['März 2024', null],
  ])('days as people spell them: %s', (cell, day) => {
    expect(dayFrom(cell, 'day-first', 2026)).toBe(day);
  });

  it('that holds a day in any of these ways means that day', () => {
    const days = fc.date({
      min: new Date('1930-01-01'),
      max: new Date('2026-12-31'),
      noInvalidDate: true,
    });
    fc.assert(
      fc.property(days, (date) => {
        const iso = date.toISOString().slice(0, 10);
        const [year = '', month = '', day = ''] = iso.split('-');
        expect(dayFrom(iso, 'month-first', 2026)).toBe(iso);
        expect(dayFrom(`${Number(day)}.${month}.${year}`, 'day-first', 2026)).toBe(iso);
        expect(dayFrom(`${month}/${day}/${year}`, 'month-first', 2026)).toBe(iso);
      }),
    );
  });

  it('is a number with the sign for decimals that the others have', () => {
    expect(guessDecimal(['1,5', '2,25', '3'])).toBe(',');
    expect(guessDecimal(['1.5', '1,200'])).toBe('.');
    expect(numberFrom('1.200', ',')).toBe(1200);
    expect(numberFrom('1,200', '.')).toBe(1200);
    expect(numberFrom('−4,5', ',')).toBe(-4.5);
    expect(numberFrom('a few', '.')).toBeNull();
  });

  it('means our word where people write another for it, else it stays as it is', () => {
    const windows = ['glass', 'glass-bonded', 'clear-vinyl'];
    expect(choiceFrom('window', 'Glass bonded', windows)).toBe('glass-bonded');
    expect(choiceFrom('window', 'PVC', windows)).toBe('clear-vinyl');
    expect(choiceFrom('use', 'Ganzjährig', ['summer', 'all-year'])).toBe('all-year');
    expect(choiceFrom('place', 'barn', ['street'])).toBe('barn');
  });
});

const OILED = { lubricatedOn: 0 };
const OILINGS = [
  'Last oiled',
  'last lubrication',
  'LAST OILING',
  'Last service of the pivots',
  'Pivots oiled on',
  'Zuletzt geölt',
  'zuletzt geoelt am',
  'Letzte Schmierung',
  'letzte Ölung',
  'Geölt am',
  'Letzter Service der Gelenke',
];
// Other oil, another service, the next one, or a yes and no: the page asks.
const NO_OILINGS = [
  'Oil',
  'Oil change',
  'Oiled',
  'Last service',
  'Last visit',
  'Next oiling',
  'Oil due on',
  'Letzter Service',
  'Letzte Wartung',
  'Ölwechsel',
  'Nächste Schmierung',
];

describe('columns', () => {
  it('are known by what shops call them, in English and German, each once', () => {
    expect(
      guessColumns(['Reg. No.', 'Customer', 'E-Mail', 'Mobile', 'Top fitted', 'Notes'], []),
    ).toEqual({ registration: 0, name: 1, email: 2, phone: 3, fittedOn: 4 });
    expect(
      guessColumns(['Kennzeichen', 'Vorname', 'Nachname', 'PLZ', 'Straße', 'Montiert am'], []),
    ).toEqual({
      registration: 0,
      firstName: 1,
      surname: 2,
      postcode: 3,
      postalAddress: 4,
      fittedOn: 5,
    });
    expect(guessColumns(['Name', 'Owner', 'owner name'], []).name).toBe(2);
    for (const name of OILINGS) expect([name, guessColumns([name], [])]).toEqual([name, OILED]);
    for (const name of NO_OILINGS) expect([name, guessColumns([name], [])]).toEqual([name, {}]);
    expect(
      guessColumns(
        ['x', 'contact'],
        [
          ['1', 'a@b.example'],
          ['2', ''],
        ],
      ),
    ).toEqual({ email: 1 });
  });
});
