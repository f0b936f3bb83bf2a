import { addMonths } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addMinutes } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { Position } from '../../domain/folding/position-log.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { isFoldedAlarm } from '../../domain/round/letter-kind.ts';
import { holdCars } from '../../store/database/car-lock.ts';
import type { PositionRow } from '../../store/cars/position-rows.ts';
import {
  appendEntry,
  carForLog,
  entryOf,
  firstFittedOn,
  withdraw,
} from '../../store/cars/position-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import type { Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { organisationFigures } from '../figures/shop-rules.ts';

export interface NewEntry {
  readonly position: Position;
  readonly at: Instant;
  readonly damp?: boolean | undefined;
  readonly coverOn?: boolean | undefined;
}

export interface EntryRecord {
  readonly id: string;
  readonly position: Position;
  readonly at: Instant;
  readonly damp: boolean;
  readonly coverOn: boolean | null;
  readonly recordedAt: Instant;
  readonly withdrawnAt: Instant | null;
}

/** Whose log may be written: an organisation by its key, an owner by a link to the car. */
export interface Recorder {
  readonly organisationId: string;
  readonly by: string;
}

/** Appends an entry to a car's position log; letters that it makes untrue are cancelled with it. */
export async function logPosition(
  context: Context,
  recorder: Recorder,
  carId: string,
  entry: NewEntry,
): Promise<EntryRecord> {
  const now = context.now();
  if (entry.at > now) await refuseToCome(context, recorder, entry.at, now);
  const row: PositionRow = {
    id: newId(),
    organisationId: recorder.organisationId,
    carId,
    position: entry.position,
    at: entry.at,
    damp: entry.damp ?? false,
    coverOn: entry.coverOn ?? null,
    recordedAt: now,
    recordedBy: recorder.by,
    withdrawnAt: null,
  };
  await context.store.writeSql(async (sql) => {
    await holdCars(sql, [carId]);
    const car = await carForLog(sql, recorder.organisationId, carId);
    if (car === null) throw notFound('car');
    await refuseBeforeTop(sql, car, entry.at, now);
    await appendEntry(sql, row);
    await reconsiderCars(sql, [carId], now, tellsOfFolding);
  });
  return entryRecordOf(row);
}

/** Such a letter tells since when it is folded, whether damp, and whether its cover is on. */
function tellsOfFolding({ kind }: { readonly kind: LetterKind }): boolean {
  return isFoldedAlarm(kind);
}

/** Clocks of telephones run ahead: so much is forgiven, and no more. */
async function refuseToCome(
  { store }: Context,
  { organisationId }: Recorder,
  at: Instant,
  now: Instant,
): Promise<void> {
  const { futureMinutes } = await organisationFigures(store.sql, organisationId, 'folding');
  if (at <= addMinutes(now, futureMinutes)) return;
  const detail = `This instant is still to come. Entries may be ${futureMinutes} minutes ahead at most.`;
  throw invalid('#/at', detail);
}

// Whoever enters a log from paper goes back months; a year before the top is a slip of the pen.
const MONTHS_BACK = 12;

async function refuseBeforeTop(
  sql: Sql,
  { id, timeZone }: { readonly id: string; readonly timeZone: string },
  at: Instant,
  now: Instant,
): Promise<void> {
  const day = dayIn(timeZone, at);
  if (day >= addMonths(dayIn(timeZone, now), -MONTHS_BACK)) return;
  const fittedOn = await firstFittedOn(sql, id);
  if (fittedOn === null || day >= fittedOn) return;
  throw invalid(
    '#/at',
    `This car has had a top since ${fittedOn} by its record, and ${day} lies before that. Check the year, or put right when the top was fitted.`,
  );
}

/** Withdraws an entry: it stays in the log and counts for nothing. Doing it twice changes nothing. */
export async function withdrawEntry(
  context: Context,
  recorder: Recorder,
  carId: string,
  entryId: string,
): Promise<EntryRecord> {
  const now = context.now();
  return context.store.writeSql(async (sql) => {
    await holdCars(sql, [carId]);
    const car = await carForLog(sql, recorder.organisationId, carId);
    if (car === null) throw notFound('car');
    const row = await entryOf(sql, carId, entryId);
    if (row === null) throw notFound('entry');
    if (row.withdrawnAt !== null) return entryRecordOf(row);
    await withdraw(sql, entryId, now);
    await reconsiderCars(sql, [carId], now, tellsOfFolding);
    return entryRecordOf({ ...row, withdrawnAt: now });
  });
}

/**
 * Puts an entry right: the wrong one is withdrawn and stays in the log, the right one is appended, both
 * or neither. An entry that was taken back already is left as it is, so a second press adds nothing. A
 * time that is left out stays.
 */
export async function correctEntry(
  context: Context,
  recorder: Recorder,
  carId: string,
  entryId: string,
  entry: Omit<NewEntry, 'at'> & { readonly at?: Instant | undefined },
): Promise<void> {
  await context.store.together(async () => {
    const row = await entryOf(context.store.sql, carId, entryId);
    if (row === null) throw notFound('entry');
    if (row.withdrawnAt !== null) return;
    await withdrawEntry(context, recorder, carId, entryId);
    await logPosition(context, recorder, carId, { ...entry, at: entry.at ?? row.at });
  });
}

export function entryRecordOf(row: PositionRow): EntryRecord {
  return {
    id: row.id,
    position: row.position as Position,
    at: row.at,
    damp: flag(row.damp),
    coverOn: row.coverOn === null ? null : flag(row.coverOn),
    recordedAt: row.recordedAt,
    withdrawnAt: row.withdrawnAt,
  };
}
