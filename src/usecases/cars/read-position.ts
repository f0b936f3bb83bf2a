import type { Instant } from '../../domain/calendar/instant.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { FoldedClock } from '../../domain/folding/clock.ts';
import { foldedClock } from '../../domain/folding/clock.ts';
import type { Position } from '../../domain/folding/position-log.ts';
import { spells } from '../../domain/folding/spells.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import { carForLog, logPage, validEntriesOf } from '../../store/cars/position-rows.ts';
import { isUnseen } from '../../store/sharing/sight.ts';
import { flag } from '../../store/database/sql.ts';
import type { Author, Context } from '../context/context.ts';
import type { EntryRecord } from './log-position.ts';
import { entryRecordOf } from './log-position.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import type { MayMoveRecord } from '../own/may-move.ts';
import { mayMoveNow, mayMoveRecordOf } from '../own/may-move.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

type Reader = { readonly organisationId: string; readonly author?: Author };

/**
 * Refuses an organisation that may not see where a top stands: a club sees what its members shared.
 * Whoever has the car sees it always.
 */
async function requireSight({ store }: Context, { author }: Reader, carId: string): Promise<void> {
  if (author?.id.startsWith('owner:') === true || !(await isUnseen(store.sql, carId))) return;
  throw new Refused({
    kind: 'not-allowed',
    detail: 'This member has not shared with the club where the top stands.',
  });
}

async function carAndEntries(context: Context, reader: Reader, carId: string, until: Instant) {
  const car = await carForLog(context.store.sql, reader.organisationId, carId);
  if (car === null) throw notFound('car');
  await requireSight(context, reader, carId);
  const rows = await validEntriesOf(context.store.sql, carId, until);
  const entries = rows.map((row) => ({
    position: row.position as Position,
    at: row.at,
    damp: flag(row.damp),
  }));
  return { car, entries };
}

/** Where a top is, and whether it may be moved today. */
export interface PositionRecord extends FoldedClock {
  readonly mayMove: MayMoveRecord;
}

/** Where a car's top is at an instant (now, where none is given), and its stretch against the limit. */
export async function showPosition(
  context: Context,
  reader: Reader,
  carId: string,
  at: Instant = context.now(),
): Promise<PositionRecord> {
  const { car, entries } = await carAndEntries(context, reader, carId, at);
  const own = await ownFiguresOf(context.store.sql, reader.organisationId);
  const clock = foldedClock(
    { zone: car.timeZone, limitDays: car.foldedLimitDays, entries, at },
    figuresFor('folding', own),
  );
  const standing = { carId, timeZone: car.timeZone };
  const { sql } = context.store;
  const move = await mayMoveNow(sql, reader.organisationId, standing, context.now());
  return { ...clock, mayMove: mayMoveRecordOf(move) };
}

/** The spells of a car between two instants, with the longest folded one and their sum in hours. */
export async function listSpells(
  context: Context,
  reader: Reader,
  carId: string,
  range: { readonly from?: Instant | undefined; readonly to?: Instant | undefined },
): Promise<ReturnType<typeof spells>> {
  const to = range.to ?? context.now();
  const { entries } = await carAndEntries(context, reader, carId, to);
  const from = range.from ?? entries[0]?.at ?? to;
  if (from > to) throw invalid('from', 'The range ends before it begins. Swap from and to.');
  return spells(entries, from, to);
}

/** Every entry of a car's log, withdrawn ones too, oldest first. */
export async function listLog(
  context: Context,
  reader: Reader,
  carId: string,
  { limit, after }: PageRequest,
): Promise<Page<EntryRecord>> {
  if ((await carForLog(context.store.sql, reader.organisationId, carId)) === null) {
    throw notFound('car');
  }
  await requireSight(context, reader, carId);
  const [at = '', id = ''] = partsOfCursor(after, ['instant', 'id']) ?? ['', ''];
  const rows = await logPage(context.store.sql, carId, [at, id], limit + 1);
  return pageOf(rows, limit, entryRecordOf, (row) => [row.at, row.id]);
}
