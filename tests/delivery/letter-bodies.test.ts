import { statSync } from 'node:fs';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { bodiesOf } from '../../src/store/letters/letter-rows.ts';
import { sqliteFileOf } from '../../src/store/database/sqlite-store.ts';
import { eachDatabase, onSqlite } from '../setup/databases.ts';
import type { PostOffice } from './post-office.ts';
import { emptyPostOffice, openPostOffice, scripted, SENT } from './post-office.ts';

eachDatabase('what a letter says', (databases) => {
  let office: PostOffice;
  beforeEach(async () => {
    office = await emptyPostOffice(databases.dialect);
    for (const name of ['ada', 'ben']) await office.household(`${name}@example.net`);
    await office.round();
  });
  afterEach(() => office.close());

  test('is never without its letter', async () => {
    const [letter, other] = await office.letters();
    if (letter === undefined || other === undefined)
      throw new Error('two letters were to be there');
    const { store } = office;
    const drop = `DELETE FROM "letter" WHERE "id" = ?`;
    await expect(store.writeSql((sql) => sql.run(drop, [letter.id]))).rejects.toThrow(
      /foreign key/i,
    );
    await store.writeSql(async (sql) => {
      await sql.run(`DELETE FROM "letter_body" WHERE "letterId" = ?`, [letter.id]);
      await sql.run(drop, [letter.id]);
    });
    expect((await office.letters()).map(({ id }) => id)).toEqual([other.id]);
    expect([...(await bodiesOf(store.sql, [letter.id, other.id])).keys()]).toEqual([other.id]);
  });

  test('fails its letter alone where the database has lost it: nothing empty is sent', async () => {
    const [letter] = await office.letters();
    const lost = letter?.id ?? '';
    await office.store.write(({ records }) =>
      records.letterBody.delete({ where: { letterId: lost } }),
    );
    const sender = scripted(SENT);
    expect(await office.deliver(sender)).toMatchObject({ refused: 1, delivered: 1 });
    expect(sender.got.map(({ text }) => text.length > 100)).toEqual([true]);
    const row = (await office.letters()).find(({ id }) => id === lost);
    expect(row).toMatchObject({ state: 'failed', fault: expect.stringContaining('is missing') });
  });
});

onSqlite('what a letter says, in the file', (databases) => {
  test('is not written anew by any step of its delivery', async () => {
    const url = await databases.fresh();
    const office = await openPostOffice(url);
    for (let n = 0; n < 40; n++) await office.household(`owner${n}@example.net`);
    expect(await office.round()).toBe(40);
    const said = await office.store.sql.all<{ n: number }>(
      'SELECT SUM(LENGTH("text") + LENGTH("html")) AS "n" FROM "letter_body"',
    );
    const log = () => statSync(`${sqliteFileOf(url)}-wal`).size;
    const before = log();
    expect(await office.deliver(scripted(SENT))).toMatchObject({ delivered: 40 });
    expect(log()).toBeGreaterThan(before);
    // Claimed, marked and settled: each rewrote the whole letter once.
    expect(log() - before).toBeLessThan(said[0]?.n ?? 0);
    await office.close();
  });
});
