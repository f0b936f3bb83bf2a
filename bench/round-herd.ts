import Database from 'better-sqlite3';
import { LOOK_NOW } from '../src/domain/round/next-look.ts';
import { openStore } from '../src/store/database/open-store.ts';

/** The instant at which the benched rounds are held. */
export const ROUND_AT = '2026-06-12T09:00:00.000Z';

/**
 * A database of so many cars, each with an owner of its own and one fitted top, of which so many owe
 * one letter at `ROUND_AT`; all others have nothing to say before next year.
 */
export async function makeHerd(file: string, cars: number, owed: number): Promise<void> {
  await (await openStore(`file:${file}`)).close();
  const db = new Database(file);
  db.pragma('synchronous = OFF');
  const at = '2025-01-01T00:00:00.000Z';
  db.exec(
    `INSERT INTO "organisation" ("id","name","kind","timeZone","language","createdAt") VALUES ('g','Bench Shop','shop','Europe/London','en','${at}')`,
  );
  const owner = db.prepare(
    `INSERT INTO "owner" ("id","organisationId","name","email","addressHash","timeZone","language","createdAt") VALUES (?,'g',?,?,?,'Europe/London','en','${at}')`,
  );
  const car = db.prepare(
    `INSERT INTO "car" ("id","organisationId","ownerId","registration","timeZone","foldedLimitDays","place","salt","use","lookAt","createdAt") VALUES (?,'g',?,?,'Europe/London',3,'outdoors','none','summer',?,'${at}')`,
  );
  const top = db.prepare(
    `INSERT INTO "top" ("id","organisationId","carId","fittedOn","framePattern","material","window","powered","intervalMonths","because","dueOn","createdAt") VALUES (?,'g',?,?,'four-seat-manual','cloth','glass',0,12,'["12 months"]',?,'${at}')`,
  );
  const entry = db.prepare(
    `INSERT INTO "position_entry" ("id","organisationId","carId","position","at","damp","recordedAt","recordedBy") VALUES (?,'g',?,?,?,0,'${at}','bench')`,
  );
  const every = Math.floor(cars / owed);
  db.transaction(() => {
    for (let i = 0; i < cars; i++) {
      const id = String(i).padStart(8, '0');
      const due = i % every === 0 && i / every < owed;
      owner.run(`o${id}`, `Owner ${i}`, `owner${i}@example.org`, `h${id}`);
      car.run(`c${id}`, `o${id}`, `FK ${i}`, due ? LOOK_NOW : '2027-01-01T00:00:00.000Z');
      top.run(`t${id}`, `c${id}`, '2025-06-12', '2026-06-12');
      entry.run(`p${id}`, `c${id}`, 'raised', '2026-05-01T08:00:00.000Z');
    }
  })();
  db.exec('ANALYZE');
  db.pragma('wal_checkpoint(TRUNCATE)');
  db.close();
}

/** Has a start make of its cars, which came without the program, what it would else make before what is measured. */
export async function startOnce(file: string): Promise<void> {
  await (await openStore(`file:${file}`)).close();
  const db = new Database(file);
  db.pragma('wal_checkpoint(TRUNCATE)');
  db.close();
}
