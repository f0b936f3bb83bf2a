import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { readTable } from '../../src/usecases/tables/read-table.ts';
import { workbook } from './small-workbook.ts';

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
});
