import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { loadCarFacts } from '../../src/store/cars/car-facts-rows.ts';
import { dueCarsOf, storeLooks } from '../../src/store/cars/look-rows.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Sql } from '../../src/store/database/sql.ts';
import { padded } from '../../src/store/database/sql.ts';
import { carsOfLetters } from '../../src/store/letters/occasion-rows.ts';
import { markEnding, organisationsOf } from '../../src/store/letters/delivery-rows.ts';
import { readPivots } from '../../src/store/visits/reading-rows.ts';
import { eachDatabase } from '../setup/databases.ts';

const AT = '2026-06-12T09:00:00.000Z';
const LONGEST = 130;
const STORE = fileURLToPath(new URL('../../src/store', import.meta.url));

/** Asks a database and keeps each text with which it was asked. */
function noting(sql: Sql): { readonly sql: Sql; readonly texts: Set<string> } {
  const texts = new Set<string>();
  const noted: Sql = {
    dialect: sql.dialect,
    all: (text, values) => sql.all(texts.add(text) && text, values),
    run: (text, values) => sql.run(texts.add(text) && text, values),
  };
  return { sql: noted, texts };
}

const ids = (count: number) => Array.from({ length: count }, (_, i) => `none-${i}`);

eachDatabase('the statements that a list of any length makes', ({ dialect, fresh }) => {
  it('are as many as for a list of one', async () => {
    const store = await openStore(await fresh());
    try {
      const { sql, texts } = noting(store.sql);
      const asked = async (length: number) => {
        await loadCarFacts(sql, ids(length), AT);
        await dueCarsOf(sql, ids(length), AT);
        await readPivots(sql, 'none', ids(length));
        await carsOfLetters(sql, ids(length));
        await organisationsOf(sql, ids(length));
      };
      await asked(1);
      const ofOne = [...texts];
      expect(ofOne.length).toBeGreaterThanOrEqual(6);
      for (let length = 2; length <= LONGEST; length += 1) await asked(length);
      expect([...texts]).toEqual(ofOne);
    } finally {
      await store.close();
    }
  });

  it('are one for each power of two where every row has marks of its own', async () => {
    const store = await openStore(await fresh());
    try {
      const texts = await store.writeSql(async (writing) => {
        const noted = noting(writing);
        for (let length = 1; length <= LONGEST; length += 1) {
          const rows = ids(length).map((id) => ({ id, lookAt: null, leaseToken: 'none' }));
          await storeLooks(noted.sql, rows, AT);
          await markEnding(noted.sql, rows, AT, AT);
        }
        return noted.texts;
      });
      // 1, 2, 4, … 256, of each of the two, and two that note when the looks were.
      expect(texts.size).toBe(20);
    } finally {
      await store.close();
    }
  });

  it.runIf(dialect === 'postgresql')('are kept by no session of the server', async () => {
    const store = await openStore(await fresh());
    try {
      await store.records.car.findMany({ where: { id: { in: ids(3) } } });
      await loadCarFacts(store.sql, ids(3), AT);
      const kept = await store.sql.all('SELECT "name", "statement" FROM pg_prepared_statements');
      expect(kept).toEqual([]);
    } finally {
      await store.close();
    }
  });
});

it('no text of the store grows with a list', () => {
  const grown = readdirSync(STORE, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts') && !file.startsWith('generated'))
    .filter((file) => file !== join('database', 'sql.ts'))
    .flatMap((file) => {
      const text = readFileSync(join(STORE, file), 'utf8');
      const marked = [...text.matchAll(/\bmarks\((?!key\.length\)).*/g)].map(([found]) => found);
      const rows = [...text.matchAll(/(\w+)\.map\(\(\) => '\(/g)]
        .filter(([, name]) => !new RegExp(`const ${name} = padded\\(`).test(text))
        .map(([found]) => found);
      return [...marked, ...rows].map((found) => `${file}: ${found}`);
    });
  expect(grown).toEqual([]);
});

it('rows are padded with their last', () => {
  expect([0, 1, 2, 3, 5, 8, 9].map((length) => padded(ids(length)).length)).toEqual([
    0, 1, 2, 4, 8, 8, 16,
  ]);
  expect(padded(['a', 'b', 'c'])).toEqual(['a', 'b', 'c', 'c']);
});
