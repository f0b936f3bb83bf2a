import { closeSync, copyFileSync, fsyncSync, mkdtempSync, openSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { openStore } from '../src/store/database/open-store.ts';
import type { Context } from '../src/usecases/context/context.ts';
import { planRound } from '../src/usecases/round/plan-round.ts';
import type { Measured } from './measure.ts';
import { makeHerd, ROUND_AT, startOnce } from './round-herd.ts';

const OWED = 1_000;
const RUNS = 7;

/**
 * The round against the same reads and writes in bare SQL, and its time against the number of cars
 * for the same number of letters owed.
 */
export async function run(
  sizes: readonly number[] = [10_000, 100_000, 1_000_000],
): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-bench-'));
  try {
    const times = new Map<number, number>();
    const measured: Measured[] = [];
    for (const cars of sizes) {
      const herd = join(folder, `${cars}.db`);
      // Each due car owes one letter, its reminder and a care note together.
      await makeHerd(herd, cars, OWED);
      await startOnce(herd);
      let ours = Infinity;
      let bare = Infinity;
      for (let turn = 0; turn < RUNS; turn++) {
        ours = Math.min(ours, await roundOver(fresh(herd), OWED));
        bare = Math.min(bare, bareOver(join(folder, 'run.db'), fresh(herd)));
      }
      times.set(cars, ours);
      measured.push({ name: `round-${cars}-vs-bare-sql`, ratio: ours / bare, goal: '<= 1.2' });
      rmSync(herd);
    }
    const small = times.get(10_000);
    const large = times.get(1_000_000);
    if (small !== undefined && large !== undefined) {
      measured.push({ name: 'round-1M-vs-10k-cars', ratio: large / small, goal: '<= 1.2' });
    }
    return measured;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function fresh(herd: string): string {
  const copy = join(herd, '..', `copy-${Math.random().toString(36).slice(2)}.db`);
  copyFileSync(herd, copy);
  // Else the commits that are measured would wait for the disk to take the copy.
  const file = openSync(copy, 'r+');
  fsyncSync(file);
  closeSync(file);
  return copy;
}

let letters: Record<string, unknown>[] = [];
let bodies: Record<string, unknown>[] = [];
let occasions: Record<string, unknown>[] = [];
let links: Record<string, unknown>[] = [];
let looks: { id: string; lookAt: string | null }[] = [];

async function roundOver(file: string, owed: number): Promise<number> {
  const store = await openStore(`file:${file}`);
  const context: Context = {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const begun = performance.now();
  // As the clock holds it.
  const { planned } = await planRound(context, { withLetters: false });
  const spent = performance.now() - begun;
  if (planned !== owed) throw new Error(`the round wrote ${planned} letters, not ${owed}`);
  // What the round wrote is what the baseline must write too.
  letters = await store.sql.all('SELECT * FROM "letter"');
  bodies = await store.sql.all('SELECT * FROM "letter_body"');
  occasions = await store.sql.all('SELECT * FROM "letter_occasion"');
  links = await store.sql.all('SELECT * FROM "link"');
  looks = await store.sql.all(
    'SELECT "id", "lookAt" FROM "car" WHERE "id" IN (SELECT "carId" FROM "letter_occasion")',
  );
  await store.close();
  rmSync(file);
  return spent;
}

/** The same rows read and written by prepared statements on the same driver, in one transaction. */
function bareOver(_: string, file: string): number {
  const db = new Database(file);
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  const insert = (table: string, row: Record<string, unknown>) =>
    db.prepare(
      `INSERT INTO "${table}" (${Object.keys(row)
        .map((c) => `"${c}"`)
        .join(',')}) VALUES (${Object.keys(row)
        .map(() => '?')
        .join(',')})`,
    );
  const begun = performance.now();
  const due = db
    .prepare('SELECT "id", "ownerId" FROM "car" WHERE "lookAt" <= ? ORDER BY "lookAt"')
    .all(ROUND_AT) as { id: string; ownerId: string }[];
  const facts = db.prepare(
    'SELECT * FROM "car" c JOIN "owner" o ON o."id" = c."ownerId" JOIN "organisation" g ON g."id" = c."organisationId" LEFT JOIN "address_standing" s ON s."organisationId" = c."organisationId" AND s."addressHash" = o."addressHash" LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL WHERE c."id" = ?',
  );
  const booked = db.prepare(
    `SELECT COUNT(*) FROM "visit" WHERE "carId" = ? AND "state" = 'booked' AND "kind" = 'lubrication'`,
  );
  const log = db.prepare(
    'SELECT * FROM "position_entry" WHERE "carId" = ? AND "withdrawnAt" IS NULL',
  );
  const stiff = db.prepare(
    `SELECT r."doneOn" FROM "visit" v JOIN "reading" r ON r."visitId" = v."id" WHERE v."carId" = ? AND r."state" = 'stiff'`,
  );
  const seal = db.prepare(
    `SELECT v."doneOn" FROM "visit" v JOIN "finding" f ON f."visitId" = v."id" WHERE v."carId" = ? AND f."fault" = 'tailgate-seal-missing'`,
  );
  const spoken = db.prepare(
    'SELECT o."key" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."ownerId" = ?',
  );
  const taken = db.prepare('SELECT "key" FROM "letter_occasion" WHERE "key" = ?');
  const look = db.prepare('UPDATE "car" SET "lookAt" = ? WHERE "id" = ?');
  const [letter, body, occasion, link] = [
    insert('letter', letters[0] ?? {}),
    insert('letter_body', bodies[0] ?? {}),
    insert('letter_occasion', occasions[0] ?? {}),
    insert('link', links[0] ?? {}),
  ];
  db.transaction(() => {
    for (const { id, ownerId } of due) {
      facts.all(id);
      booked.all(id);
      log.all(id);
      stiff.all(id);
      seal.all(id);
      spoken.all(ownerId);
    }
    for (const row of occasions) taken.all(row['key']);
    for (const row of letters) letter.run(Object.values(row));
    for (const row of bodies) body.run(Object.values(row));
    for (const row of occasions) occasion.run(Object.values(row));
    for (const row of links) link.run(Object.values(row));
    for (const { id, lookAt } of looks) look.run(lookAt, id);
  })();
  const spent = performance.now() - begun;
  db.close();
  rmSync(file);
  return spent;
}
