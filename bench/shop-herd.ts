import Database from 'better-sqlite3';
import { makeHerd } from './round-herd.ts';

const PIVOTS = [
  'L-MAIN',
  'L-LINK1',
  'L-KNUCKLE1',
  'L-LATCH',
  'R-MAIN',
  'R-LINK1',
  'R-KNUCKLE1',
  'R-LATCH',
];
const KINDS: Readonly<Record<string, string>> = {
  MAIN: 'main',
  LINK1: 'link',
  KNUCKLE1: 'knuckle',
  LATCH: 'latch',
};
const YEAR_MS = 365.25 * 86_400_000;

/**
 * The herd of the round as a shop knows it: due days over the whole year, eight pivots a car with two
 * visits on record, and in every thirtieth car a sign that asks for a call. Invented.
 */
export async function makeShopHerd(file: string, cars: number): Promise<void> {
  await makeHerd(file, cars, Math.max(1, Math.floor(cars / 100)));
  const db = new Database(file);
  db.pragma('synchronous = OFF');
  const at = '2025-01-01T00:00:00.000Z';
  const pivot = db.prepare(
    `INSERT INTO "pivot" ("id","organisationId","carId","code","side","kind","washersExpected","place","since") VALUES (?,'g',?,?,?,?,2,?,'2023-06-12')`,
  );
  const visit = db.prepare(
    `INSERT INTO "visit" ("id","organisationId","topId","carId","kind","state","doneOn","minutes","createdAt") VALUES (?,'g',?,?,'lubrication','done',?,105,'${at}')`,
  );
  const reading = db.prepare(
    `INSERT INTO "reading" ("id","organisationId","visitId","pivotId","doneOn","state","oiled","repaired","washersPresent","axialPlayMm") VALUES (?,'g',?,?,?,?,1,0,2,?)`,
  );
  const due = db.prepare(
    'UPDATE "top" SET "dueOn" = ?, "lubricatedOn" = ?, "fittedOn" = ? WHERE "id" = ?',
  );
  db.transaction(() => {
    for (let i = 0; i < cars; i += 1) {
      const id = String(i).padStart(8, '0');
      // Spread over the year; no more are late in a large herd than in a small one.
      const ahead = cars === 1 ? 0 : (i / (cars - 1)) * YEAR_MS;
      const dueOn = new Date(Date.parse('2026-06-12') + ahead).toISOString().slice(0, 10);
      const days = [2, 1].map((years) => `${Number(dueOn.slice(0, 4)) - years}${dueOn.slice(4)}`);
      due.run(dueOn, days[1]!, '2023-06-12', `t${id}`);
      PIVOTS.forEach((code, place) => {
        const side = code.slice(0, 1);
        pivot.run(`j${id}${place}`, `c${id}`, code, side, KINDS[code.slice(2)], place);
      });
      days.forEach((doneOn, n) => {
        visit.run(`v${id}${n}`, `t${id}`, `c${id}`, doneOn);
        PIVOTS.forEach((_, place) => {
          const state = n === 1 && place === 1 && i % Math.ceil(cars / 33) === 0 ? 'stiff' : 'free';
          const mm = n === 0 ? 0.1 : 0.15 + (i % 7) / 50;
          reading.run(`r${id}${n}${place}`, `v${id}${n}`, `j${id}${place}`, doneOn, state, mm);
        });
      });
    }
  })();
  db.exec('ANALYZE');
  db.pragma('wal_checkpoint(TRUNCATE)');
  db.close();
}
