import { createHash } from 'node:crypto';
import type BetterSqlite3 from 'better-sqlite3';
import type { Sql } from './sql.ts';

// Of which car a row speaks, as an expression over a row that is called `row`.
const SPEAKS_OF: Readonly<Record<string, (row: string) => string>> = {
  top: ofCar,
  pivot: ofCar,
  visit: ofCar,
  position_entry: ofCar,
  call_entry: ofCar,
  // Whether a club may see where the top stands.
  share: ofCar,
  reading: (row) => `(SELECT "carId" FROM "pivot" WHERE "id" = ${row}."pivotId")`,
  finding: (row) => `(SELECT "carId" FROM "visit" WHERE "id" = ${row}."visitId")`,
};
function ofCar(row: string): string {
  return `${row}."carId"`;
}

// What bears on the weeks ahead without being about one car.
const ABOUT_ALL = ['stock', 'diary', 'closure'];
// Columns of a car and an owner that bear on what is kept; the round's own looks do not.
const OF_CAR = ['ownerId', 'timeZone', 'foldedLimitDays', 'place', 'salt', 'use'];
const OF_OWNER = ['refusesCalls', 'erasedAt'];

const FORGET = `UPDATE "car_kept" SET "changes" = "changes" + 1, "goodUntil" = '' WHERE "carId"`;
const COUNT = `UPDATE "car_kept" SET "changes" = "changes" + 1 WHERE "carId"`;
const OUTDATE = `UPDATE "car_kept" SET "goodUntil" = '' WHERE "goodUntil" <> '' AND "carId"`;
const KEEP_NEW = `INSERT INTO "car_kept" ("carId", "organisationId") VALUES (NEW."id", NEW."organisationId") ON CONFLICT DO NOTHING`;
const REMOVE = `DELETE FROM "car_kept" WHERE "carId" = OLD."id"`;
const OF_THEIR_CARS = `${FORGET} IN (SELECT "id" FROM "car" WHERE "ownerId" = NEW."id")`;
const OF_ITS_CARS = `UPDATE "car_kept" SET "changes" = "changes" + 1, "goodUntil" = '' WHERE "organisationId" = NEW."id"`;
const forgetAhead = (row: string) =>
  `UPDATE "organisation_kept" SET "aheadAt" = '' WHERE "organisationId" = ${row}."organisationId"`;

const ALL_THEIRS = `SELECT "id" FROM "car" WHERE "ownerId" IN (SELECT "id" FROM "whose")
    OR "id" IN (SELECT o."carId" FROM "letter" l JOIN "letter_occasion" o ON o."letterId" = l."id" WHERE l."ownerId" IN (SELECT "id" FROM "whose") AND l."state" IN ('planned', 'sending'))
  ORDER BY "id"`;

/** Ends a statement that begins with `named`: the cars whose owners' cars are to be held. */
export const WITH_ALL_THEIRS = `, "whose" AS (SELECT DISTINCT "ownerId" AS "id" FROM "car" WHERE "id" IN (SELECT "id" FROM "named"))
  ${ALL_THEIRS}`;

/** The same where it has named, as `meant`, owners besides. */
export const WITH_ALL_THEIRS_AND_OF_MEANT = `, "whose" AS (SELECT "ownerId" AS "id" FROM "car" WHERE "id" IN (SELECT "id" FROM "named") UNION SELECT "id" FROM "meant")
  ${ALL_THEIRS}`;

/**
 * Has a connection forget what is kept of a car with every change through it that bears on it, so that
 * no deed can leave behind what is no longer true.
 */
export function forgetOnChange(handle: BetterSqlite3.Database): void {
  const scripts: string[] = [];
  // SQLite writes the index of a column that is set, changed or not: what is outdated already is left alone.
  const forget = (cars: string) => `${COUNT} ${cars}; ${OUTDATE} ${cars}`;
  const trigger = (table: string, event: string, body: string) => {
    const name = `kept_${table}_${event.slice(0, 6).toLowerCase()}`;
    scripts.push(
      `CREATE TEMP TRIGGER "${name}" AFTER ${event} ON main."${table}" BEGIN ${body}; END`,
    );
  };
  trigger('car', 'INSERT', KEEP_NEW);
  trigger('car', 'DELETE', REMOVE);
  trigger('car', `UPDATE OF ${listed(OF_CAR)}`, `${FORGET} = NEW."id"`);
  trigger('owner', `UPDATE OF ${listed(OF_OWNER)}`, OF_THEIR_CARS);
  trigger('organisation', 'UPDATE OF "kind"', OF_ITS_CARS);
  for (const [table, of] of Object.entries(SPEAKS_OF)) {
    trigger(table, 'INSERT', forget(`= ${of('NEW')}`));
    trigger(table, 'DELETE', forget(`= ${of('OLD')}`));
    trigger(table, 'UPDATE', forget(`IN (${of('OLD')}, ${of('NEW')})`));
  }
  for (const table of ABOUT_ALL) {
    trigger(table, 'INSERT', forgetAhead('NEW'));
    trigger(table, 'UPDATE', forgetAhead('NEW'));
    trigger(table, 'DELETE', forgetAhead('OLD'));
  }
  handle.exec(`BEGIN;\n${scripts.join(';\n')};\nCOMMIT`);
}

/** The same for a PostgreSQL database, whoever changes it. Call it in the transaction of the migrations. */
export async function forgetOnEveryChange(
  sql: Sql,
  execute: (script: string) => unknown,
): Promise<void> {
  const script = postgresqlScript();
  const digest = createHash('sha256').update(script).digest('hex');
  const known = await sql.all<{ words: string | null }>(
    `SELECT obj_description(p.oid, 'pg_proc') AS "words" FROM pg_proc p JOIN pg_namespace n ON n.oid = p.pronamespace WHERE p.proname = 'kept_car' AND n.nspname = current_schema()`,
  );
  if (known[0]?.words === digest) return;
  await execute(script);
  await execute(`COMMENT ON FUNCTION kept_car() IS '${digest}'`);
}

function postgresqlScript(): string {
  const scripts: string[] = [];
  const trigger = (table: string, events: string, bodies: Readonly<Record<string, string>>) => {
    const name = `kept_${table}`;
    const branches = Object.entries(bodies).map(
      ([event, body]) => `IF TG_OP = '${event}' THEN ${body}; END IF;`,
    );
    scripts.push(
      `CREATE OR REPLACE FUNCTION ${name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN ${branches.join(' ')} RETURN NULL; END $$;
DROP TRIGGER IF EXISTS ${name} ON "${table}";
CREATE TRIGGER ${name} AFTER ${events} ON "${table}" FOR EACH ROW EXECUTE FUNCTION ${name}();`,
    );
  };
  // Its car is held before the row is: what is kept of a car is changed after it everywhere.
  const held = (table: string, of: (row: string) => string) => {
    const name = `held_${table}`;
    const cars = (row: string) =>
      `FOR held IN WITH "named" AS (SELECT ${of(row)} AS "id")${WITH_ALL_THEIRS} FOR UPDATE LOOP NULL; END LOOP`;
    scripts.push(
      `CREATE OR REPLACE FUNCTION ${name}() RETURNS trigger LANGUAGE plpgsql AS $$ DECLARE held record; BEGIN IF TG_OP = 'DELETE' THEN ${cars('OLD')}; RETURN OLD; END IF; ${cars('NEW')}; RETURN NEW; END $$;
DROP TRIGGER IF EXISTS ${name} ON "${table}";
CREATE TRIGGER ${name} BEFORE INSERT OR UPDATE OR DELETE ON "${table}" FOR EACH ROW EXECUTE FUNCTION ${name}();`,
    );
  };
  for (const [table, of] of Object.entries(SPEAKS_OF)) held(table, of);
  trigger('car', `INSERT OR DELETE OR UPDATE OF ${listed(OF_CAR)}`, {
    INSERT: KEEP_NEW,
    DELETE: REMOVE,
    UPDATE: `${FORGET} = NEW."id"`,
  });
  trigger('owner', `UPDATE OF ${listed(OF_OWNER)}`, { UPDATE: OF_THEIR_CARS });
  trigger('organisation', 'UPDATE OF "kind"', { UPDATE: OF_ITS_CARS });
  for (const [table, of] of Object.entries(SPEAKS_OF)) {
    trigger(table, 'INSERT OR UPDATE OR DELETE', {
      INSERT: `${FORGET} = ${of('NEW')}`,
      UPDATE: `${FORGET} IN (${of('OLD')}, ${of('NEW')})`,
      DELETE: `${FORGET} = ${of('OLD')}`,
    });
  }
  for (const table of ABOUT_ALL) {
    trigger(table, 'INSERT OR UPDATE OR DELETE', {
      INSERT: forgetAhead('NEW'),
      UPDATE: forgetAhead('NEW'),
      DELETE: forgetAhead('OLD'),
    });
  }
  return scripts.join('\n');
}

function listed(columns: readonly string[]): string {
  return columns.map((column) => `"${column}"`).join(', ');
}

/**
 * Forgets at a start all that is kept: another release may reckon otherwise, and another program may have
 * written meanwhile. It costs by the organisations; cars are reckoned anew when they are asked for.
 */
export async function forgetKept(sql: Sql): Promise<void> {
  await sql.run(
    'INSERT INTO "car_kept" ("carId", "organisationId") SELECT c."id", c."organisationId" FROM "car" c WHERE NOT EXISTS (SELECT 1 FROM "car_kept" k WHERE k."carId" = c."id")',
  );
  await sql.run(`UPDATE "organisation_kept" SET "learned" = '', "aheadAt" = ''`);
}
