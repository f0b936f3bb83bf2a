// Joins the models with each datasource head and generates one Prisma client per database.
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const models = readFileSync(here('models.prisma'), 'utf8');
const prisma = fileURLToPath(new URL('../node_modules/prisma/build/index.js', import.meta.url));
mkdirSync(here('build'), { recursive: true });

for (const head of ['sqlite', 'postgresql']) {
  const schema = here(`build/${head}.prisma`);
  writeFileSync(schema, `${readFileSync(here(`heads/${head}.prisma`), 'utf8')}\n${models}`);
  const run = spawnSync(
    process.execPath,
    [prisma, 'generate', `--schema=${schema}`, '--no-hints'],
    {
      env: {
        ...process.env,
        PRISMA_SCHEMA_ENGINE_BINARY: process.env.PRISMA_SCHEMA_ENGINE_BINARY ?? process.execPath,
        CHECKPOINT_DISABLE: '1',
      },
      encoding: 'utf8',
    },
  );
  if (run.status !== 0) {
    process.stderr.write(`${run.stdout}\n${run.stderr}\n`);
    process.exit(run.status ?? 1);
  }
}
