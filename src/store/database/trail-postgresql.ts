import { createHash } from 'node:crypto';
import type { Pen } from './pen.ts';
import type { Sql } from './sql.ts';
import { AMONG } from './sql.ts';
import type { TrailedTable } from './trail-tables.ts';
import { aboutOf, followed, organisationOf, TRAIL_TABLES } from './trail-tables.ts';

/** Hands a transaction the name under which its changes are noted, until it ends. */
export async function takePen(sql: Sql, pen: Pen | null): Promise<void> {
  await sql.all(
    `SELECT set_config('foldkeep.author', ?, true), set_config('foldkeep.name', ?, true), set_config('foldkeep.at', ?, true)`,
    [pen === null ? NO_TRAIL : pen.author, pen?.name ?? '', pen?.at ?? ''],
  );
}

const NO_TRAIL = '-';

/**
 * Has the database write the trail of whatever is changed in it, by triggers that are made anew
 * where the tables or this text have changed since. Call it in the transaction of the migrations.
 */
export async function leaveTrail(sql: Sql, execute: (script: string) => unknown): Promise<void> {
  // From the catalogue itself: information_schema asks of every column who may see it, for tens of milliseconds.
  const rows = await sql.all<{ table: string; column: string }>(
    `SELECT c.relname AS "table", a.attname AS "column" FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid WHERE c.relnamespace = current_schema()::regnamespace AND c.relname ${AMONG} AND a.attnum > 0 AND NOT a.attisdropped ORDER BY c.relname, a.attnum`,
    [TRAIL_TABLES.map(({ table }) => table)],
  );
  const scripts = TRAIL_TABLES.map((trailTable) => {
    const columns = rows.filter(({ table }) => table === trailTable.table);
    return scriptOf({ ...trailTable, columns: columns.map(({ column }) => column) });
  });
  const script = [SHARED, ...scripts].join('\n');
  const digest = createHash('sha256').update(script).digest('hex');
  const known = await sql.all<{ words: string | null }>(
    `SELECT obj_description(p.oid, 'pg_proc') AS "words" FROM pg_proc p JOIN pg_namespace n ON n.oid = p.pronamespace WHERE p.proname = 'trail_differing' AND n.nspname = current_schema()`,
  );
  if (known[0]?.words === digest) return;
  await execute(script);
  await execute(`COMMENT ON FUNCTION trail_differing(jsonb, jsonb) IS '${digest}'`);
}

// An id as RFC 9562 lays out version 7: milliseconds, then the fraction of one, then chance.
const SHARED = `
CREATE OR REPLACE FUNCTION trail_differing(one jsonb, other jsonb) RETURNS jsonb LANGUAGE sql AS $$
  SELECT jsonb_object_agg(o.key, o.value) FROM jsonb_each(one) o WHERE other -> o.key IS DISTINCT FROM o.value
$$;
CREATE OR REPLACE FUNCTION trail_id() RETURNS text LANGUAGE sql AS $$
  SELECT concat_ws('-', substr(h, 1, 8), substr(h, 9, 4), '7' || lpad(to_hex((us % 1000) * 4), 3, '0'), substr(r, 20, 4), substr(r, 25))
  FROM (SELECT lpad(to_hex(us / 1000), 12, '0') AS h, us, gen_random_uuid()::text AS r
    FROM (SELECT (extract(epoch FROM clock_timestamp()) * 1000000)::bigint AS us) c) parts
$$;
DROP FUNCTION IF EXISTS trail_note(text, text, text, text, text, text, text, jsonb, jsonb);
CREATE OR REPLACE FUNCTION trail_note(organisation text, kind text, record text, action text, car text, owner text, visit text, person text, was jsonb, becomes jsonb) RETURNS void LANGUAGE sql AS $$
  INSERT INTO "trail" ("id", "organisationId", "at", "author", "authorName", "kind", "recordId", "action", "carId", "ownerId", "visitId", "personId", "was", "becomes")
  SELECT trail_id(), organisation,
    COALESCE(NULLIF(current_setting('foldkeep.at', true), ''), to_char(clock_timestamp() AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')),
    COALESCE(NULLIF(current_setting('foldkeep.author', true), ''), 'foldkeep'),
    COALESCE(current_setting('foldkeep.name', true), ''),
    kind, record, action, car, owner, visit, person, was::text, becomes::text
  WHERE organisation IS NOT NULL AND COALESCE(current_setting('foldkeep.author', true), '') <> '${NO_TRAIL}'
$$;`;

function scriptOf(table: TrailedTable): string {
  const name = `trail_${table.table}`;
  const columns = followed(table);
  const of = (row: string) =>
    `jsonb_build_object(${columns.map((column) => `'${column}', ${row}."${column}"`).join(', ')})`;
  const note = (row: 'OLD' | 'NEW', action: string, was: string, becomes: string) => {
    const { carId, ownerId, visitId, personId } = aboutOf(table, row, action === 'removed');
    const recordId = table.key.map((column) => `${row}."${column}"`).join(` || '/' || `);
    const deed = `PERFORM trail_note(${organisationOf(table, row)}, '${table.table}', ${recordId}, '${action}', ${carId}, ${ownerId}, ${visitId}, ${personId}, ${was}, ${becomes});`;
    return table.onlyIf === undefined ? deed : `IF ${row}."${table.onlyIf}" THEN ${deed} END IF;`;
  };
  const recorded = table.recorded === false ? '' : 'INSERT OR ';
  return `
CREATE OR REPLACE FUNCTION ${name}() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE was jsonb;
BEGIN
  IF TG_OP = 'INSERT' THEN ${note('NEW', 'recorded', 'NULL', 'NULL')}
  ELSIF TG_OP = 'DELETE' THEN ${note('OLD', 'removed', of('OLD'), 'NULL')}
  ELSE
    was := trail_differing(${of('OLD')}, ${of('NEW')});
    IF was IS NOT NULL THEN ${note('NEW', 'changed', 'was', `trail_differing(${of('NEW')}, ${of('OLD')})`)} END IF;
  END IF;
  RETURN NULL;
END $$;
DROP TRIGGER IF EXISTS ${name} ON "${table.table}";
CREATE TRIGGER ${name} AFTER ${recorded}DELETE OR UPDATE OF ${columns.map((column) => `"${column}"`).join(', ')} ON "${table.table}" FOR EACH ROW EXECUTE FUNCTION ${name}();`;
}
