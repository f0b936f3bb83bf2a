import Database from 'better-sqlite3';
import { expect, it, vi } from 'vitest';
import { preparedForPrisma } from '../../src/store/database/prepared-for-prisma.ts';

it('prepares a text once, and each call has its own values alone', () => {
  const handle = new Database(':memory:');
  handle.exec('CREATE TABLE "top" ("id" TEXT PRIMARY KEY, "swayMm" REAL)');
  const prepare = vi.spyOn(handle, 'prepare');
  const client = preparedForPrisma(handle);
  const insert = 'INSERT INTO "top" ("id", "swayMm") VALUES (?, ?)';
  const find = 'SELECT "id", "swayMm" FROM "top" WHERE "id" = ?';
  for (const [id, swayMm] of [
    ['one', 1.5],
    ['two', null],
  ] as const) {
    const statement = client.prepare(insert).bind([id, swayMm]);
    expect(statement.reader).toBe(false);
    expect(statement.run().changes).toBe(1);
  }
  expect(() => client.prepare(insert).bind(['one', 3]).run()).toThrow('UNIQUE');
  const found = ['two', 'none', 'one'].map((id) => {
    const statement = client.prepare(find).bind([id]);
    expect(statement.columns().map(({ name, type }) => [name, type])).toEqual([
      ['id', 'TEXT'],
      ['swayMm', 'REAL'],
    ]);
    return statement.raw().all();
  });
  expect(found).toEqual([[['two', null]], [], [['one', 1.5]]]);
  expect(prepare.mock.calls).toEqual([[insert], [find]]);
  client.close();
  expect(handle.open).toBe(false);
});
