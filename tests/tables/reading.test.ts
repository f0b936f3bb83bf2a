import * as fc from 'fast-check';
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import {
  choiceFrom,
  dayFrom,
  guessDayOrder,
  guessDecimal,
  numberFrom,
} from '../../src/domain/tables/cell-values.ts';
import { guessColumns } from '../../src/domain/tables/guess-columns.ts';
import { readTable } from '../../src/usecases/tables/read-table.ts';
import { workbookOf } from '../../src/usecases/tables/workbook.ts';

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
  ])('with %s is read as it is', async (_, text, how) => {
    const read = await table(text);
    expect(read.readAs).toMatchObject(how);
    expect(read.header).toHaveLength(2);
    expect(read.rows[0]).toHaveLength(2);
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
  it('is refused by what comes out of it, not by what it says of itself', async () => {
    // 70 MB of blanks in 70 KB.
    const bomb = Buffer.from(
      zipSync({ 'xl/workbook.xml': new Uint8Array(70_000_000).fill(32) }, { level: 9 }),
    );
    expect(bomb.length).toBeLessThan(100_000);
    await expect(readTable(bomb, {})).rejects.toThrow(
      'Unpacked, the workbook is larger than 64 MB',
    );
    // The same with a small size written into its head: it does not come out as it says.
    const liar = Buffer.from(bomb);
    for (let at = liar.indexOf('PK\u0001\u0002', 0, 'latin1'); at >= 0;) {
      liar.writeUInt32LE(1_000, at + 24);
      at = liar.indexOf('PK\u0001\u0002', at + 4, 'latin1');
    }
    await expect(readTable(liar, {})).rejects.toThrow('The workbook is damaged');
  });

  it('is refused for two cells at the far corners of a sheet', async () => {
    const far = workbook(
      '<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>2</v></c></row>',
    );
    await expect(readTable(far, {})).rejects.toThrow(/cannot be read|too large/);
  }, 30_000);

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
    expect(dayFrom('3/4/24', 'day-first', 2026)).toBe('2024-04-03');
    expect(dayFrom('3/4/87', 'month-first', 2026)).toBe('1987-03-04');
    expect(dayFrom('29.2.2023', 'day-first', 2026)).toBeNull();
    expect(dayFrom('spring', 'day-first', 2026)).toBeNull();
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

/** A workbook with one sheet of these rows, as small as a program reads it. */
function workbook(rows: string): Buffer {
  const xml = '<?xml version="1.0" encoding="UTF-8"?>';
  const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
  const office = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
  const relations = 'http://schemas.openxmlformats.org/package/2006/relationships';
  const files = {
    '[Content_Types].xml': `${xml}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
    'xl/workbook.xml': `${xml}<workbook xmlns="${main}" xmlns:r="${office}"><sheets><sheet name="One" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `${xml}<Relationships xmlns="${relations}"><Relationship Id="rId1" Type="${office}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${office}/styles" Target="styles.xml"/></Relationships>`,
    'xl/styles.xml': `${xml}<styleSheet xmlns="${main}"><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>`,
    'xl/worksheets/sheet1.xml': `${xml}<worksheet xmlns="${main}"><sheetData>${rows}</sheetData></worksheet>`,
  };
  const bytes = Object.entries(files).map(([name, text]) => [name, Buffer.from(text)] as const);
  return Buffer.from(zipSync(Object.fromEntries(bytes)));
}
