import Database from 'better-sqlite3';
import pg from 'pg';

/** Empties a database from beside the program: by connections of its own, past every trigger. */
export interface Emptier {
  /** Leaves it as it was when the emptier was made; false where somebody changed more than rows. */
  empty(): Promise<boolean>;
  end(): Promise<void>;
}

const PATIENCE_MS = 2_000;

/** Empties a SQLite file that other connections of this process hold: what a template has is put back. */
export function sqliteEmptier(file: string, template: string): Emptier {
  const handle = new Database(file, { timeout: PATIENCE_MS });
  handle.pragma('foreign_keys = OFF');
  handle.prepare('ATTACH ? AS template').run(template);
  const version = () => handle.pragma('main.schema_version', { simple: true });
  const made = version();
  const tables = handle
    .prepare("SELECT name FROM template.sqlite_master WHERE type = 'table'")
    .pluck()
    .all() as string[];
  const tablesWithRows = (schema: string) =>
    handle
      .prepare(
        tables
          .map((name) => `SELECT '${name}' WHERE EXISTS (SELECT 1 FROM ${schema}."${name}")`)
          .join(' UNION ALL '),
      )
      .pluck();
  const filled = new Set(tablesWithRows('template').all());
  // Emptying a table writes its root and those of its indexes, empty or not: only those with rows are.
  const withRows = tablesWithRows('main');
  const remedies = new Map(
    tables.map((name) => {
      const away = handle.prepare(`DELETE FROM main."${name}"`);
      const back = handle.prepare(`INSERT INTO main."${name}" SELECT * FROM template."${name}"`);
      return [name, filled.has(name) ? [away, back] : [away]];
    }),
  );
  const putBack = handle.transaction(() => {
    for (const name of new Set([...withRows.all(), ...filled])) {
      for (const statement of remedies.get(String(name)) ?? []) statement.run();
    }
  });
  return {
    empty: async () => {
      if (version() !== made) return false;
      putBack.immediate();
      return true;
    },
    end: async () => {
      handle.close();
    },
  };
}

// Changes with every statement that defines something anew.
const DEFINED = ['pg_class', 'pg_attribute', 'pg_constraint', 'pg_proc', 'pg_trigger']
  .map((table) => `(SELECT count(*) || ' ' || max(xmin::text::bigint) FROM ${table})`)
  .join(` || ', ' || `);
const MIGRATIONS = '_prisma_migrations';

/** Empties a PostgreSQL database of everything but the migrations that it has been through. */
export async function postgresqlEmptier(url: string): Promise<Emptier> {
  const client = new pg.Client({ connectionString: url, lock_timeout: PATIENCE_MS });
  await client.connect();
  const asked = async <T>(text: string) => (await client.query<{ is: T }>(text)).rows[0]?.is;
  await client.query('SET session_replication_role = replica');
  const state = `SELECT ${DEFINED} || ', ' || (SELECT count(*) FROM ${MIGRATIONS}) AS "is"`;
  const made = await asked<string>(state);
  const tables = await client.query<{ tablename: string }>(
    `SELECT tablename FROM pg_tables WHERE schemaname = 'public' AND tablename <> '${MIGRATIONS}'`,
  );
  const names = tables.rows.map(({ tablename }) => `"${tablename}"`);
  const counts = names.map((name) => `(SELECT count(*) FROM ${name})`).join(' + ');
  if (Number(await asked(`SELECT ${counts} AS "is"`)) !== 0) {
    throw new Error('a new database has rows that would not be put back');
  }
  const script = names.map((name) => `DELETE FROM ${name}`).join('; ');
  return {
    empty: async () => {
      if ((await asked<string>(state)) !== made) return false;
      await client.query(`BEGIN; ${script}; COMMIT`);
      return true;
    },
    end: () => client.end(),
  };
}
