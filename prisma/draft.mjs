// Drafts the SQL that leads from one models file to another, for both databases, without a server:
//   node prisma/draft.mjs NAME              from the committed models to the ones in the work tree
//   node prisma/draft.mjs NAME --from-empty the whole schema
// Read the draft before you keep it: it is a proposal, the committed migration.sql is the law.
import { execFileSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import * as bindings from '@prisma/schema-engine-wasm/schema_engine_bg';
import { PrismaBetterSqlite3 } from '@prisma/adapter-better-sqlite3';
import { startPostgresql } from './embedded-postgresql.mjs';
import { PrismaPg } from '@prisma/adapter-pg';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
// Instants and days must compare byte by byte whatever the database's own collation is.
const byteOrder = (sql) =>
  sql.replace(/^(\s+"(?:\w+(?:At|On|Until)|at|key|id)" TEXT)/gm, '$1 COLLATE "C"');

// The package is made for bundlers; Node 20 cannot import .wasm, so its memory is wired by hand.
let engineClass;
async function schemaEngine() {
  if (engineClass) return engineClass;
  globalThis.PRISMA_WASM_PANIC_REGISTRY = {
    set_message: (words) => process.stderr.write(`${words}\n`),
  };
  const path = createRequire(import.meta.url)
    .resolve('@prisma/schema-engine-wasm')
    .replace(/\.js$/, '_bg.wasm');
  const { instance } = await WebAssembly.instantiate(readFileSync(path), {
    './schema_engine_bg.js': bindings,
  });
  bindings.__wbg_set_wasm(instance.exports);
  instance.exports.__wbindgen_start();
  engineClass = bindings.SchemaEngine;
  return engineClass;
}

/** The SQL from one models text (null: an empty database) to another. PostgreSQL needs a server's address. */
export async function draft(provider, fromModels, toModels, url) {
  const head = readFileSync(here(`heads/${provider}.prisma`), 'utf8');
  const target = (models) => ({
    tag: 'schemaDatamodel',
    files: [{ path: 'schema.prisma', content: `${head}\n${models}` }],
  });
  const factory =
    provider === 'sqlite'
      ? new PrismaBetterSqlite3({ url: ':memory:' })
      : new PrismaPg({ connectionString: url, max: 1 });
  const { bindMigrationAwareSqlAdapterFactory } = await import('@prisma/driver-adapter-utils');
  const engine = await (
    await schemaEngine()
  ).new(
    { datamodels: [['schema.prisma', `${head}\n${toModels}`]] },
    () => {},
    bindMigrationAwareSqlAdapterFactory(factory),
  );
  const answer = await engine.diff({
    from: fromModels === null ? { tag: 'empty' } : target(fromModels),
    to: target(toModels),
    script: true,
    exitCode: null,
    shadowDatabaseUrl: null,
    filters: { externalTables: [], externalEnums: [] },
  });
  return provider === 'postgresql' ? byteOrder(answer.stdout ?? '') : (answer.stdout ?? '');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [name, flag] = process.argv.slice(2);
  if (!name || !/^\d{4}_[a-z_]+$/.test(name)) {
    process.stderr.write('usage: node prisma/draft.mjs 0002_what_it_adds [--from-empty]\n');
    process.exit(2);
  }
  const now = readFileSync(here('models.prisma'), 'utf8');
  const before =
    flag === '--from-empty'
      ? null
      : execFileSync('git', ['show', 'HEAD:prisma/models.prisma'], { encoding: 'utf8' });
  const server = await startPostgresql();
  const url = await server.url('draft');
  for (const provider of ['sqlite', 'postgresql']) {
    const folder = here(`migrations/${provider}/${name}`);
    mkdirSync(folder, { recursive: true });
    writeFileSync(`${folder}/migration.sql`, await draft(provider, before, now, url));
    process.stdout.write(`prisma/migrations/${provider}/${name}/migration.sql\n`);
  }
  await server.stop();
  process.exit(0);
}
