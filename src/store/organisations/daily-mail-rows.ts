import type { Day } from '../../domain/calendar/day.ts';
import type { Organisation } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';

/** An organisation that wants one mail a day, and the last day for which it was seen to. */
export type DailyMailRow = Pick<
  Organisation,
  'id' | 'name' | 'timeZone' | 'language' | 'dailyMailOn'
> & { readonly email: string };

/** The organisations that want one mail a day and can get it; an owner who keeps her own gets letters. */
export function wantDailyMail(sql: Sql): Promise<DailyMailRow[]> {
  return sql.all(
    `SELECT "id", "name", "timeZone", "language", "email", "dailyMailOn" FROM "organisation" WHERE "dailyMail" = true AND "email" IS NOT NULL AND "kind" <> 'private'`,
  );
}

/** Takes a day's mail for whoever asks first; false where another process has it. */
export async function takeDailyMail(
  sql: Sql,
  { id, dailyMailOn }: Pick<DailyMailRow, 'id' | 'dailyMailOn'>,
  on: Day,
): Promise<boolean> {
  const taken = await sql.run(
    `UPDATE "organisation" SET "dailyMailOn" = ? WHERE "id" = ? AND COALESCE("dailyMailOn", '') = ?`,
    [on, id, dailyMailOn ?? ''],
  );
  return taken > 0;
}

/** Gives a day's mail back that could not be sent, so that it is tried again. */
export async function giveBackDailyMail(
  sql: Sql,
  { id, dailyMailOn }: Pick<DailyMailRow, 'id' | 'dailyMailOn'>,
  on: Day,
): Promise<void> {
  await sql.run(
    'UPDATE "organisation" SET "dailyMailOn" = ? WHERE "id" = ? AND "dailyMailOn" = ?',
    [dailyMailOn, id, on],
  );
}
