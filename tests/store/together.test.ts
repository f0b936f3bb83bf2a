import { expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Store } from '../../src/store/database/store.ts';
import type { Sql } from '../../src/store/database/sql.ts';
import { bothDatabases } from '../setup/databases.ts';

bothDatabases('writes that belong together', ({ fresh }) => {
  const put = (sql: Sql, id: string) =>
    sql.run(
      'INSERT INTO "idempotent_answer" ("accessKeyId", "key", "requestHash", "createdAt") VALUES (?, ?, ?, ?)',
      ['k', id, '', ''],
    );
  const keys = async ({ sql }: Store) =>
    (await sql.all<{ key: string }>('SELECT "key" FROM "idempotent_answer" ORDER BY "key"')).map(
      ({ key }) => key,
    );

  it('are kept whole or not at all, and are read by whoever made them', async () => {
    const store = await openStore(await fresh());
    try {
      await store.together(async () => {
        await store.writeSql((sql) => put(sql, 'a'));
        expect(await keys(store)).toEqual(['a']);
        // One that fails is undone by itself.
        const taken = store.write(async ({ sql }) => {
          await put(sql, 'b');
          await put(sql, 'a');
        });
        await expect(taken).rejects.toThrow(/unique|23505/i);
        await Promise.all(['c', 'd', 'e'].map((id) => store.writeSql((sql) => put(sql, id))));
      });
      expect(await keys(store)).toEqual(['a', 'c', 'd', 'e']);
      const broken = store.together(async () => {
        await store.writeSql((sql) => put(sql, 'f'));
        throw new Error('the deed failed');
      });
      await expect(broken).rejects.toThrow('the deed failed');
      expect(await keys(store)).toEqual(['a', 'c', 'd', 'e']);
    } finally {
      await store.close();
    }
  });

  it('may hold others, which are undone by themselves', async () => {
    const store = await openStore(await fresh());
    try {
      await store.together(async () => {
        await store.writeSql((sql) => put(sql, 'a'));
        const tried = store.together(async () => {
          await store.writeSql((sql) => put(sql, 'b'));
          expect(await keys(store)).toEqual(['a', 'b']);
          throw new Error('only tried');
        });
        await expect(tried).rejects.toThrow('only tried');
        await store.together(() => store.writeSql((sql) => put(sql, 'c')));
      });
      expect(await keys(store)).toEqual(['a', 'c']);
    } finally {
      await store.close();
    }
  });

  it('are seen by nobody else before they are kept', async () => {
    const store = await openStore(await fresh());
    try {
      let written = (): void => undefined;
      const half = new Promise<void>((resolve) => {
        written = resolve;
      });
      let goOn = (): void => undefined;
      const wait = new Promise<void>((resolve) => {
        goOn = resolve;
      });
      const deed = store.together(async () => {
        await store.writeSql((sql) => put(sql, 'a'));
        written();
        await wait;
      });
      await half;
      expect(await keys(store)).toEqual([]);
      goOn();
      await deed;
      expect(await keys(store)).toEqual(['a']);
    } finally {
      await store.close();
    }
  });
});
