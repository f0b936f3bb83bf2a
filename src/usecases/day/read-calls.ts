import type { Outcomes } from '../../domain/calls/calibration.ts';
import { costOf } from '../../domain/calls/cures.ts';
import type { EarlierCall } from '../../domain/calls/earlier-calls.ts';
import type { Way } from '../../domain/calls/way.ts';
import { saidBy, wayTo } from '../../domain/calls/way.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { callsSince } from '../../store/cars/calls-rows.ts';
import type { CallRowOf, KeptCallRow } from '../../store/cars/kept-rows.ts';
import { callRowsOf, countKeptCalls, keptCalls, keptStaying } from '../../store/cars/kept-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { grouped } from '../context/grouped.ts';
import type { PageRequest } from '../context/paging.ts';
import { cursorWith, pageOf, partsOfCursor } from '../context/paging.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import type { KeptCall } from '../kept/judge-cars.ts';
import type { Kept } from '../kept/keep-cars.ts';
import { bringUpToDate } from '../kept/keep-cars.ts';
import type { StayingRecord } from '../own/read-staying.ts';
import { stayingOf } from '../own/read-staying.ts';

export interface CallRecord extends Omit<KeptCall, 'score'> {
  readonly carId: string;
  readonly topId: string;
  readonly registration: string;
  readonly ownerId: string;
  readonly ownerName: string;
  readonly phone: string | null;
  /** By telephone, or in writing where no number is noted; the deed says the same. */
  readonly way: Way;
  /** The top must not be moved: this car comes first, and no sum of savings decides it. */
  readonly mustStay: boolean;
  /** Bench hours that a minute of the deed saves; null for a car that must stay. */
  readonly score: number | null;
  readonly dueOn: Day;
}

export interface CallListRecord {
  readonly items: CallRecord[];
  /** Hand this in as `after` for the following page; null at the end. */
  readonly next: string | null;
  /** Cars with any sign of damage, shown or not. */
  readonly inAll: number;
  readonly because: string[];
  /** How the organisation's own outcomes bear on the chances. */
  readonly outcomes: Outcomes[];
}

const CALL_MEMORY_DAYS = 366;

/**
 * Whom to ring first, and for what: the cars whose tops must not be moved, then those for which one deed
 * saves most hours a minute. Owners who refused calls and cars with nothing to gain are left out; what a
 * booked visit will cure is not asked for again.
 */
export async function readCalls(
  context: Context,
  caller: Caller,
  { limit, after }: PageRequest,
): Promise<CallListRecord> {
  const kept = await bringUpToDate(context, caller.organisationId);
  const stays = await callsToStay(context, kept);
  const from = partsOfCursor(after, ['word', 'number', 'word']);
  const begins = from === null || from[0] === STAYS;
  const shown =
    from === null ? 0 : begins ? Math.max(0, Math.trunc(Number(from[1]))) : stays.length;
  const first = stays.slice(shown, shown + limit);
  const rest = limit - first.length;
  const worth = await callsWorth(context, kept, {
    limit: Math.max(1, rest),
    after: begins ? undefined : after,
  });
  const { learned } = kept;
  return {
    items: rest === 0 ? first : [...first, ...worth.items],
    next:
      rest > 0
        ? worth.next
        : shown + limit < stays.length || worth.items.length > 0
          ? cursorWith([STAYS, String(shown + limit), STAYS])
          : null,
    inAll: stays.length + worth.inAll,
    because: becauseOf(callValues(kept)),
    outcomes: learned.outcomes,
  };
}

// A page that begins among the cars that must stay goes on by their number.
const STAYS = 'stays';

/** The calls that save most, page by page, without the cars that must stay as they are. */
export async function callsWorth(
  context: Context,
  kept: Kept,
  { limit, after }: PageRequest,
): Promise<{ items: CallRecord[]; inAll: number; next: string | null }> {
  const { sql } = context.store;
  const { organisationId } = kept.calendar;
  if (kept.unkept.length > 0) return callsOfAll(context, kept, limit);
  const [score = '', saves = '', carId = ''] =
    partsOfCursor(after, ['number', 'number', 'id']) ?? [];
  const from = after === undefined ? null : { score: Number(score), saves: Number(saves), carId };
  const rows = await keptCalls(sql, organisationId, limit + 1, from);
  const { items, next } = pageOf(
    rows,
    limit,
    (row) => callRecord(row, JSON.parse(row.call) as KeptCall),
    (row) => [String(row.callScore), String(row.callSaves), row.carId],
  );
  return { items, next, inAll: await countKeptCalls(sql, organisationId) };
}

/** The same where the database takes nothing more: some lines are in hand only, so all are put in order. */
async function callsOfAll({ store }: Context, { calendar, unkept }: Kept, limit: number) {
  const known = new Map(unkept.map((car) => [car.carId, car]));
  const rows = await keptCalls(store.sql, calendar.organisationId, EVERY_CAR);
  const fresh = await callRowsOf(store.sql, [...known.keys()]);
  const all: KeptCallRow[] = [
    ...rows.filter(({ carId }) => !known.has(carId)),
    ...fresh.flatMap((row) => {
      const { call = null, callScore = null, callSaves = null } = known.get(row.carId) ?? {};
      return call === null || callScore === null || callSaves === null
        ? []
        : [{ ...row, call, callScore, callSaves }];
    }),
  ].sort(
    (a, b) =>
      b.callScore - a.callScore || b.callSaves - a.callSaves || (a.carId < b.carId ? -1 : 1),
  );
  const items = all.slice(0, limit).map((row) => callRecord(row, JSON.parse(row.call) as KeptCall));
  return { items, inAll: all.length, next: null };
}

const EVERY_CAR = 1_000_000;

/** The cars whose tops must not be moved, as they stand now. */
export async function keptToStay({ store }: Context, kept: Kept): Promise<StayingRecord[]> {
  const { organisationId, now } = kept.calendar;
  const known = new Map(kept.unkept.map((car) => [car.carId, car]));
  const ids = (await keptStaying(store.sql, organisationId)).filter((id) => !known.has(id));
  const fresh = kept.unkept
    .filter(({ staysSince }) => staysSince !== null)
    .map(({ carId }) => carId);
  return stayingOf(store.sql, organisationId, [...ids, ...fresh], now);
}

/** Whether a car whose top must stay is one to ring about: no repair is booked, and its owner takes calls. */
export function waitsForCall({
  refusesCalls,
  repairOn,
}: Pick<StayingRecord, 'refusesCalls' | 'repairOn'>): boolean {
  return !refusesCalls && repairOn === null;
}

async function callsToStay(context: Context, kept: Kept): Promise<CallRecord[]> {
  const staying = (await keptToStay(context, kept)).filter(waitsForCall);
  const since = addDays(kept.calendar.today, -CALL_MEMORY_DAYS);
  const carIds = staying.map(({ carId }) => carId);
  const calls = grouped(
    carIds.length === 0 ? [] : await callsSince(context.store.sql, carIds, since),
    ({ carId }) => carId,
  );
  return staying.map((car) => {
    const last = calls.get(car.carId)?.at(-1);
    const lastCall = last === undefined ? null : { on: last.calledOn, outcome: last.outcome };
    return stayingCall(car, lastCall, callValues(kept));
  });
}

function callValues({ learned }: Kept) {
  return figuresFor('calls', ownFiguresFrom(learned.ownRules));
}

function callRecord(row: CallRowOf, call: KeptCall): CallRecord {
  const { carId, topId, registration, ownerId, ownerName, phone, dueOn } = row;
  const way = wayTo(phone);
  const whom = { carId, topId, registration, ownerId, ownerName, phone, way, dueOn };
  const said = { deed: saidBy(call.deed, way), reason: saidBy(call.reason, way) };
  return { ...whom, mustStay: false, ...call, ...said };
}

/** Nothing is weighed here: somebody must be told, and the repair be booked. */
function stayingCall(
  car: StayingRecord,
  lastCall: EarlierCall | null,
  values: ReturnType<typeof callValues>,
): CallRecord {
  const { carId, topId, registration, ownerId, ownerName, phone, dueOn, mayMove } = car;
  const why = [...new Set(mayMove.reasons.map(({ words }) => words))].join('; ');
  const costHours = costOf('frame', values);
  // Without a number the words are sent instead; that nobody can be rung must not mean that nobody is told.
  const way = wayTo(phone);
  return {
    carId,
    topId,
    registration,
    ownerId,
    ownerName,
    phone,
    way,
    mustStay: true,
    score: null,
    chance: 1,
    lossHours: costHours,
    savesHours: costHours,
    afterCalls: 1,
    deed: `${way}: say that it must stay as it is, and agree on a day for the repair`,
    minutes: values.repairMinutes,
    dueOn,
    lastCall,
    causes: [{ kind: 'must-stay', damage: 'frame', words: why, chance: 1, costHours }],
    reason: `the top must not be moved (${why}): say so and agree on a day for the repair`,
  };
}

function becauseOf(values: ReturnType<typeof callValues>): string[] {
  return [
    'shop rule: the chance that each cause does its damage within eight weeks, its cost and its cure',
    `shop rule: a new cover costs ${values.coverHours} h and parts worth ${values.coverPartsHours} h, a joint ${values.repairHours} h, a frame ${values.frameHours} h`,
    `shop rule: a call made lowers the rank, half as much after ${values.callHalfLife} days`,
  ];
}
