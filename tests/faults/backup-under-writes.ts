import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { backUp } from '../../src/usecases/records/back-up.ts';
import { readSnapshot } from '../../src/store/database/snapshot.ts';
import type { Sql } from '../../src/store/database/sql.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

export interface BackupReport {
  readonly name: string;
  readonly backups: number;
  /** Writes that were acknowledged while the backups were made. */
  readonly writes: number;
  /** Backups into which a whole stretch of writes fell between begin and end. */
  readonly underWrites: number;
  /** Writes acknowledged before a backup began and not in it. The goal is 0. */
  readonly lost: number;
  /** Entries of the trail in a backup that are not, word for word, the first ones of the live trail. The goal is 0. */
  readonly strange: number;
  /** Cars of which the record in a backup is another than its trail tells. The goal is 0. */
  readonly torn: number;
  readonly seconds: number;
}

/** What has to be nothing. */
export const BACKUP_GOALS = ['lost', 'strange', 'torn'] as const;

const CARS = 12;
const WRITERS = 3;

/**
 * Makes backups while some write as fast as they are answered, and compares each with the trail: it holds
 * what was acknowledged before it began, its trail is the live one up to a moment, and each record in it is
 * what its own trail says. PostgreSQL is backed up by its own tools; there the snapshot is looked at that
 * `foldkeep export` reads.
 */
export async function backupUnderWrites(
  dialect: 'sqlite' | 'postgresql',
  backups: number,
): Promise<BackupReport> {
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-backup-'));
  const server = dialect === 'postgresql' ? await startPostgresql(folder) : null;
  const url = server === null ? `file:${join(folder, 'live.db')}` : await server.url('live');
  const shop = await openWorkshop('2026-06-12T09:00:00.000Z', url);
  try {
    const cars: string[] = [];
    for (let n = 0; n < CARS; n++) {
      const { carId } = await fitted(shop, {
        owner: { email: `o${n}@example.org` },
        car: { registration: `FK ${n}-0` },
      });
      cars.push(carId);
    }
    const writing = new Writing(shop, cars);
    const totals = { underWrites: 0, lost: 0, strange: 0, torn: 0 };
    for (let n = 0; n < backups; n++) {
      await sleep(150);
      const before = new Map(writing.acknowledged);
      const count = writing.writes;
      const copy = await contentsOf(url, join(folder, `copy-${n}.db`));
      if (writing.writes > count) totals.underWrites++;
      const live = await readSnapshot(url, (sql) => trailOf(sql));
      totals.lost += [...before].filter(
        ([id, number]) => (copy.cars.get(id) ?? -1) < number,
      ).length;
      totals.strange += strangeIn(copy.trail, live);
      totals.torn += [...copy.cars].filter(
        ([id, number]) => toldOf(copy.trail, id) !== number,
      ).length;
    }
    await writing.end();
    return {
      name: `backup-under-writes-${dialect}`,
      backups,
      writes: writing.writes,
      ...totals,
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    await shop.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Counts each car's registration up, over and over. */
class Writing {
  /** The number that was acknowledged last, by car. */
  readonly acknowledged = new Map<string, number>();
  writes = 0;
  readonly #over = new AbortController();
  readonly #writers: readonly Promise<void>[];

  constructor(shop: Workshop, cars: readonly string[]) {
    this.#writers = Array.from({ length: WRITERS }, async (_, writer) => {
      for (let n = 1; !this.#over.signal.aborted; n++) {
        for (const id of cars.filter((_car, at) => at % WRITERS === writer)) {
          const headers = { 'if-match': '*' };
          const patch = { registration: `FK ${cars.indexOf(id)}-${n}` };
          const { status } = await shop.call('PATCH', `/v1/cars/${id}`, patch, headers);
          if (status !== 200) throw new Error(`a car was not changed: ${status}`);
          this.acknowledged.set(id, n);
          this.writes++;
        }
      }
    });
  }

  async end(): Promise<void> {
    this.#over.abort();
    await Promise.all(this.#writers);
  }
}

interface TrailEntry {
  readonly id: string;
  readonly recordId: string;
  readonly becomes: string | null;
}

interface Contents {
  readonly cars: ReadonlyMap<string, number>;
  readonly trail: readonly TrailEntry[];
}

/** What a backup holds that is made now. */
async function contentsOf(url: string, file: string): Promise<Contents> {
  if (url.startsWith('file:')) {
    await backUp(url, file);
    return readSnapshot(`file:${file}`, contentsIn);
  }
  return readSnapshot(url, contentsIn);
}

async function contentsIn(sql: Sql): Promise<Contents> {
  const trail = await trailOf(sql);
  // Writers go on meanwhile: a backup that is no single moment would show here.
  await sleep(60);
  const rows = await sql.all<{ id: string; registration: string }>(
    'SELECT "id", "registration" FROM "car"',
  );
  return { cars: new Map(rows.map(({ id, registration }) => [id, numberIn(registration)])), trail };
}

function trailOf(sql: Sql): Promise<TrailEntry[]> {
  return sql.all<TrailEntry>(
    `SELECT "id", "recordId", "becomes" FROM "trail" WHERE "kind" = 'car' AND "action" = 'changed' ORDER BY "id"`,
  );
}

const numberIn = (registration: string): number => Number(registration.split('-')[1]);

/** The last number that the trail tells of a car. */
function toldOf(trail: readonly TrailEntry[], carId: string): number {
  const last = trail.findLast(({ recordId }) => recordId === carId);
  if (last?.becomes == null) return 0;
  return numberIn((JSON.parse(last.becomes) as { registration: string }).registration);
}

/** How many entries of a copy are no entry of the live trail, word for word. */
function strangeIn(copy: readonly TrailEntry[], live: readonly TrailEntry[]): number {
  const known = new Map(live.map((entry) => [entry.id, JSON.stringify(entry)]));
  return copy.filter((entry) => known.get(entry.id) !== JSON.stringify(entry)).length;
}
