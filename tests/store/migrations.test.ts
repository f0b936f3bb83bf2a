import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** Tables, columns and indexes of a SQLite file, without the names that only history gives. */
function shapeOf(db: Database.Database): unknown {
  const tables = db
    .prepare(
      `SELECT "name" FROM sqlite_master WHERE "type" = 'table' AND "name" NOT LIKE '\\_%' ESCAPE '\\' AND "name" NOT LIKE 'sqlite%' ORDER BY "name"`,
    )
    .all() as { name: string }[];
  return tables.map(({ name }) => ({
    name,
    columns: (db.pragma(`table_info("${name}")`) as { name: string }[])
      .map(({ name: column, ...rest }) => ({ column, ...rest, cid: 0 }))
      .sort((a, b) => (a.column < b.column ? -1 : 1)),
    indexes: (db.pragma(`index_list("${name}")`) as { name: string; unique: number }[])
      .map((index) => ({
        unique: index.unique,
        columns: (db.pragma(`index_info("${index.name}")`) as { name: string }[])
          .map((c) => c.name)
          .join(),
      }))
      .sort((a, b) => (a.columns < b.columns ? -1 : 1)),
  }));
}

describe('the migrations', () => {
  it('lead to what the models say', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-drift-'));
    const store = await openStore(`file:${join(folder, 'migrated.db')}`);
    await store.close();
    const migrated = new Database(join(folder, 'migrated.db'), { readonly: true });
    // In a process of its own: the engine that drafts SQL keeps the global state of a bundler.
    const sql = execFileSync(
      process.execPath,
      [
        '--input-type=module',
        '-e',
        `const { draft } = await import('./prisma/draft.mjs');
         const { readFileSync } = await import('node:fs');
         process.stdout.write(await draft('sqlite', null, readFileSync('prisma/models.prisma', 'utf8')));
         process.exit(0);`,
      ],
      { cwd: ROOT, encoding: 'utf8' },
    );
    const drafted = new Database(':memory:');
    drafted.exec(sql);
    expect(shapeOf(migrated)).toEqual(shapeOf(drafted));
    migrated.close();
    drafted.close();
    rmSync(folder, { recursive: true });
  });

  it('are written for both databases alike', () => {
    const names = (dialect: string) =>
      execFileSync('ls', [join(ROOT, 'prisma/migrations', dialect)], { encoding: 'utf8' });
    expect(names('postgresql')).toBe(names('sqlite'));
    expect(
      readFileSync(join(ROOT, 'prisma/migrations/postgresql/0001_records/migration.sql'), 'utf8'),
    ).toContain('COLLATE "C"');
  });
});
