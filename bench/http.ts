import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import autocannon from 'autocannon';
import Database from 'better-sqlite3';
import fastify from 'fastify';
import { buildServer } from '../src/http/server.ts';
import { openStore } from '../src/store/database/open-store.ts';
import { addCar } from '../src/usecases/cars/add-car.ts';
import { addOwner } from '../src/usecases/owners/add-owner.ts';
import type { Context } from '../src/usecases/context/context.ts';
import { fitTop } from '../src/usecases/tops/fit-top.ts';
import { callerOf, makeKey } from '../src/usecases/organisations/organisations.ts';
import type { Measured } from './measure.ts';

const SECONDS = 1;
// Taken in turns, so that whatever else the machine does meets both; the middle ratio counts.
const TURNS = 7;
const CONNECTIONS = 10;

/**
 * POST position and GET top against a bare Fastify handler on the same database driver and file
 * settings: the bare one inserts the same row and reads the same two tables, and does nothing else.
 */
export async function run(): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-bench-'));
  const file = join(folder, 'bench.db');
  const store = await openStore(`file:${file}`);
  const context: Context = {
    store,
    now: () => new Date().toISOString(),
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
  const caller = await callerOf(context, key);
  if (caller === null) throw new Error('the key does not open');
  const owner = await addOwner(context, caller, { name: 'Ada Quill', email: 'ada@example.org' });
  const car = await addCar(context, caller, {
    ownerId: owner.id,
    registration: 'FK 1',
    keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
  });
  const top = await fitTop(context, caller, {
    carId: car.id,
    fittedOn: '2024-03-10',
    framePattern: 'four-seat-manual',
    cover: { material: 'cloth' },
    window: 'glass',
  });
  const server = await buildServer(context, {
    mailTray: null,
    ready: async () => ({ ready: true, parts: {} }),
    metrics: async () => ({ contentType: 'text/plain', text: '' }),
  });
  const ours = await server.listen({ port: 0, host: '127.0.0.1' });
  const bare = await bareServer(join(folder, 'bare.db'), file, top.id);
  const measured: Measured[] = [];
  const entry = () => JSON.stringify({ position: 'raised', at: new Date().toISOString() });
  const authorization = `Bearer ${key}`;
  for (const [name, path, method] of [
    ['post-position-vs-bare-fastify', `/v1/cars/${car.id}/position`, 'POST'],
    ['get-top-vs-bare-fastify', `/v1/tops/${top.id}`, 'GET'],
  ] as const) {
    const body = method === 'POST' ? entry() : undefined;
    const headers = {
      authorization,
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
    };
    const load = async (url: string) => {
      const result = await autocannon({
        url: `${url}${path}`,
        method,
        headers,
        ...(body === undefined ? {} : { body }),
        connections: CONNECTIONS,
        duration: SECONDS,
      });
      if (result.non2xx > 0) throw new Error(`${name}: ${result.non2xx} answers were refusals`);
      return result.requests.average;
    };
    const ratios: number[] = [];
    for (let turn = 0; turn < TURNS; turn += 1) {
      const [ourRate, bareRate] = [await load(ours), await load(bare.url)];
      ratios.push(ourRate / bareRate);
    }
    const [ratio = 0] = ratios.toSorted((a, b) => a - b).slice(Math.floor(TURNS / 2));
    measured.push({ name, ratio, goal: method === 'GET' ? '>= 0.8' : '>= 0.7' });
  }
  await server.close();
  await bare.close();
  await store.close();
  rmSync(folder, { recursive: true, force: true });
  return measured;
}

async function bareServer(file: string, like: string, topId: string) {
  const source = new Database(like, { readonly: true });
  const tables = source
    .prepare(
      `SELECT "sql" FROM sqlite_master WHERE "sql" IS NOT NULL AND "name" NOT LIKE '\\_%' ESCAPE '\\'`,
    )
    .all() as { sql: string }[];
  const db = new Database(file);
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  for (const { sql } of tables) db.exec(sql);
  db.prepare('ATTACH ? AS "like"').run(like);
  for (const table of ['organisation', 'owner', 'car', 'top', 'pivot']) {
    db.exec(`INSERT INTO "main"."${table}" SELECT * FROM "like"."${table}"`);
  }
  source.close();
  const insert = db.prepare(
    'INSERT INTO "position_entry" ("id","organisationId","carId","position","at","damp","recordedAt","recordedBy") VALUES (?,?,?,?,?,?,?,?)',
  );
  const top = db.prepare('SELECT * FROM "top" WHERE "id" = ?');
  const pivots = db.prepare('SELECT * FROM "pivot" WHERE "carId" = ? ORDER BY "place"');
  const app = fastify();
  let n = 0;
  app.post('/v1/cars/:id/position', async (request, reply) => {
    const { position, at } = request.body as { position: string; at: string };
    const { id: carId } = request.params as { id: string };
    const row = [String(n++), 'g', carId, position, at, 0, new Date().toISOString(), 'bare'];
    insert.run(row);
    return reply.code(201).send({ id: row[0], position, at });
  });
  app.get('/v1/tops/:id', async () => {
    const row = top.get(topId) as { carId: string };
    return { ...row, pivots: pivots.all(row.carId) };
  });
  const url = await app.listen({ port: 0, host: '127.0.0.1' });
  return {
    url,
    close: async () => {
      await app.close();
      db.close();
    },
  };
}
