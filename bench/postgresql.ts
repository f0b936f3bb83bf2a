import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startPostgresql } from '../prisma/embedded-postgresql.mjs';
import { openStore } from '../src/store/database/open-store.ts';
import type { Store } from '../src/store/database/store.ts';
import { claimLetters } from '../src/store/letters/delivery-rows.ts';
import type { Context } from '../src/usecases/context/context.ts';
import { callerOf, makeKey } from '../src/usecases/organisations/organisations.ts';
import { moveRecords } from '../src/usecases/records/move-records.ts';
import { planRound } from '../src/usecases/round/plan-round.ts';
import { listDue } from '../src/usecases/tops/read-tops.ts';
import type { Measured } from './measure.ts';
import { best } from './measure.ts';
import { makeHerd, ROUND_AT } from './round-herd.ts';
import { startOver } from './start.ts';

const FEW = 400;
const MANY = 4_000;
const OWED = 100;
const QUEUED = 10_000;
const CLAIMED_AT_ONCE = 25;

/**
 * The same on a PostgreSQL of its own (that does not wait for its disk): the round and a list against the
 * number of cars, a page of a list far behind against the first, claims by 2 and 4 workers at once against
 * one, the cold start and what it holds in memory. A million cars would take hours to put in: the round is
 * measured with some thousand, and `npm run bench round` with a million on SQLite.
 */
export async function run(): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-pg-bench-'));
  const server = await startPostgresql(folder);
  try {
    const few = await measure(folder, await server.url('few'), FEW);
    const many = await measure(folder, await server.url('many'), MANY);
    const [one = 1, two = 0, four = 0] = many.claims;
    return [
      {
        name: `postgresql-round-${MANY}-vs-${FEW}-cars`,
        ratio: many.round / few.round,
        goal: '<= 1.3',
      },
      {
        name: `postgresql-due-list-${MANY}-vs-${FEW}-cars`,
        ratio: many.first / few.first,
        goal: '<= 2',
      },
      {
        name: 'postgresql-due-list-far-behind-vs-first-page',
        ratio: many.deep / many.first,
        goal: '<= 2',
      },
      { name: 'postgresql-claims-2-workers-vs-1', ratio: two / one, goal: '>= 1' },
      { name: 'postgresql-claims-4-workers-vs-1', ratio: four / one, goal: '>= 1' },
      ...(await startOver(await server.url('start'), folder, '-postgresql')),
    ];
  } finally {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function measure(folder: string, url: string, cars: number) {
  const file = join(folder, `${cars}.db`);
  await makeHerd(file, cars, OWED);
  const request = { from: `file:${file}`, to: url, at: ROUND_AT };
  await moveRecords({ ...request, dryRun: false, progress: () => undefined });
  const store = await openStore(url);
  const context: Context = {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  await store.sql.run('ANALYZE');
  // Each round is tried and taken back, so that the next one owes the same letters.
  const round = await best(5, () => planRound(context, { dryRun: true }));
  await planRound(context);
  const { key } = await makeKey(context, { name: 'Bench Shop' }, 'full');
  const caller = await callerOf(context, key);
  if (caller === null) throw new Error('the key does not open');
  const until = '9999-12-31';
  const page = (after?: string) =>
    listDue(context, caller, { until, limit: 50, ...(after === undefined ? {} : { after }) });
  const first = await best(20, () => page());
  let far = (await page()).next ?? undefined;
  for (let n = 0; n < cars / 60; n++) far = (await page(far)).next ?? far;
  const deep = await best(20, () => page(far));
  const claims: number[] = [];
  for (const workers of [1, 2, 4]) {
    await fillQueue(store);
    claims.push(await claimRate(url, workers));
  }
  await store.close();
  return { round, first, deep, claims };
}

/** A queue of due letters, copies of one of them. */
async function fillQueue({ sql }: Store): Promise<void> {
  const copied =
    '"organisationId", "ownerId", "kind", "language", "toName", "toAddress", "addressHash", "topic", "subject", "messageDate", "plannedAt", "notBefore"';
  await sql.run(`DELETE FROM "letter_body" WHERE "letterId" LIKE 'q%'`);
  await sql.run(`DELETE FROM "letter" WHERE "id" LIKE 'q%'`);
  await sql.run(
    `INSERT INTO "letter" ("id", "messageId", "state", "nextTryAt", ${copied}) SELECT 'q' || n, '<q' || n || '@example.org>', 'planned', '${ROUND_AT}', ${copied} FROM (SELECT * FROM "letter" LIMIT 1) l, generate_series(1, ${QUEUED}) n`,
  );
  await sql.run(
    `INSERT INTO "letter_body" ("letterId", "organisationId", "text", "html") SELECT 'q' || n, "organisationId", "text", "html" FROM (SELECT * FROM "letter_body" LIMIT 1) b, generate_series(1, ${QUEUED}) n`,
  );
}

/** Letters a second that so many workers, each with connections of its own, claim from one queue. */
async function claimRate(url: string, workers: number): Promise<number> {
  const stores = await Promise.all(Array.from({ length: workers }, () => openStore(url)));
  let claimed = 0;
  const begun = performance.now();
  await Promise.all(
    stores.map(async (store, worker) => {
      for (let turn = 0; claimed < QUEUED / 2; turn++) {
        const rows = await store.writeSql((sql) =>
          claimLetters(sql, 'planned', {
            at: ROUND_AT,
            leaseUntil: '2026-06-12T09:15:00.000Z',
            token: `claim-${worker}-${turn}`,
            limit: CLAIMED_AT_ONCE,
            organisationId: null,
            holder: null,
          }),
        );
        claimed += rows.length;
      }
    }),
  );
  const rate = claimed / (performance.now() - begun);
  for (const store of stores) await store.close();
  return rate * 1_000;
}
