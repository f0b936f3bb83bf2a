import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { Position } from '../../domain/folding/position-log.ts';
import type { RetentionName } from '../../domain/privacy/data-kinds.ts';
import { cutoffOf, entriesToForget } from '../../domain/privacy/retention.ts';
import { RETENTION_FIGURES } from '../../domain/privacy/retention-figures.ts';
import { withoutTrail } from '../../store/database/pen.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import {
  carsWithOldEntries,
  countOldLetters,
  countOldSignIns,
  countOldTrail,
  countPastVisits,
  dropEntries,
  dropNobodysTries,
  dropOldSignIns,
  dropOldTrail,
  dropPastVisits,
  emptyOldLetters,
  organisationsWithRules,
  logsOf,
  noteForgotten,
} from '../../store/privacy/retention-rows.ts';
import { forgetRunsBefore } from '../../store/records/import-run-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { grouped } from '../context/grouped.ts';
import { newId } from '../context/new-id.ts';
import { ownFiguresFrom, ownFiguresOf } from '../figures/shop-rules.ts';

const RETENTIONS = Object.keys(RETENTION_FIGURES) as RetentionName[];

/** One transaction takes so many records at the most: others wait for no more than that. */
const AT_ONCE = 500;
const CARS_AT_ONCE = 50;

type Step = (sql: Sql, organisationId: string, cutoff: Instant, most: number) => Promise<number>;

/** How the records of each kind are counted and taken; the position log is gone through car by car. */
const SETS: Readonly<
  Record<
    Exclude<RetentionName, 'positionLogMonths'>,
    {
      readonly count: (sql: Sql, id: string, cutoff: Instant) => Promise<number>;
      readonly take: Step;
    }
  >
> = {
  letterBodyMonths: { count: countOldLetters, take: emptyOldLetters },
  pastCareMonths: { count: countPastVisits, take: dropPastVisits },
  signInLogMonths: { count: countOldSignIns, take: dropOldSignIns },
  trailMonths: { count: countOldTrail, take: dropOldTrail },
};

export interface RetentionRecord {
  readonly name: RetentionName;
  /** In force: the organisation's own, or the shop rule; 0 keeps. */
  readonly months: number;
  readonly rule: number;
  readonly own: number | null;
  readonly most: number;
}

/** How long an organisation keeps each kind of record. */
export async function readRetention(
  context: Context,
  { organisationId }: Caller,
): Promise<RetentionRecord[]> {
  const own = await ownFiguresOf(context.store.sql, organisationId);
  const months = figuresFor('retention', own);
  return RETENTIONS.map((name) => {
    const { value, max } = RETENTION_FIGURES[name];
    const mine = own[`retention.${name}`] ?? null;
    return { name, months: months[name], rule: value, own: mine, most: max };
  });
}

/** How many records of a kind would go now, by the figures in force or others that are tried. */
export async function tryRetention(
  context: Context,
  { organisationId }: Caller,
  tried: Readonly<Partial<Record<RetentionName, number>>> = {},
): Promise<Readonly<Record<RetentionName, number>>> {
  const { sql } = context.store;
  const at = context.now();
  const own = await ownFiguresOf(sql, organisationId);
  const months = { ...figuresFor('retention', own), ...tried };
  const counts = new Map<RetentionName, number>();
  for (const name of RETENTIONS) {
    const cutoff = cutoffOf(months[name], at);
    if (cutoff === null) counts.set(name, 0);
    else if (name !== 'positionLogMonths') {
      counts.set(name, await SETS[name].count(sql, organisationId, cutoff));
    } else {
      let total = 0;
      for await (const ids of oldEntries(sql, organisationId, cutoff, restHours(own))) {
        total += ids.length;
      }
      counts.set(name, total);
    }
  }
  return Object.fromEntries(counts) as Record<RetentionName, number>;
}

/**
 * Takes out what each organisation no longer keeps, in steps of some hundred records, each a
 * transaction of its own; the trail notes how many, and nothing else. Running it twice, late or on two
 * machines takes the same records.
 */
export async function forgetOld(
  context: Context,
  { signal }: { readonly signal?: AbortSignal } = {},
): Promise<number> {
  const { store } = context;
  const at = context.now();
  let total = 0;
  for (const { id, ownRules } of await organisationsWithRules(store.sql)) {
    const own = ownFiguresFrom(ownRules);
    const months = figuresFor('retention', own);
    for (const name of RETENTIONS) {
      const cutoff = cutoffOf(months[name], at);
      if (cutoff === null) continue;
      const sweep = { organisationId: id, name, cutoff, at };
      total +=
        name === 'positionLogMonths'
          ? await forgetEntries(context, sweep, restHours(own), signal)
          : await forgetSet(context, sweep, SETS[name].take, signal);
    }
  }
  await store.writeSql((sql) => forgetRunsBefore(sql, addHours(at, -TABLE_HOURS)));
  const cutoff = cutoffOf(RETENTION_FIGURES.signInLogMonths.value, at);
  if (cutoff !== null) await store.writeSql((sql) => dropNobodysTries(sql, cutoff, AT_ONCE));
  return total;
}

/** Hours that a table waits to be taken in, and can be taken back afterwards. */
const TABLE_HOURS = 48;

interface Sweep {
  readonly organisationId: string;
  readonly name: RetentionName;
  readonly cutoff: Instant;
  readonly at: Instant;
}

async function forgetSet(
  context: Context,
  sweep: Sweep,
  take: Step,
  signal: AbortSignal | undefined,
): Promise<number> {
  let total = 0;
  for (;;) {
    if (signal?.aborted === true) return total;
    const gone = await noting(context, sweep, (sql) =>
      take(sql, sweep.organisationId, sweep.cutoff, AT_ONCE),
    );
    total += gone;
    if (gone < AT_ONCE) return total;
  }
}

async function forgetEntries(
  context: Context,
  sweep: Sweep,
  rest: number,
  signal: AbortSignal | undefined,
): Promise<number> {
  const { organisationId, cutoff } = sweep;
  let total = 0;
  for await (const ids of oldEntries(context.store.sql, organisationId, cutoff, rest)) {
    for (let start = 0; start < ids.length; start += AT_ONCE) {
      if (signal?.aborted === true) return total;
      const part = ids.slice(start, start + AT_ONCE);
      total += await noting(context, sweep, (sql) => dropEntries(sql, part));
    }
  }
  return total;
}

/** A step, with its count in the trail in place of what it took. */
function noting(
  context: Context,
  { organisationId, name, at }: Sweep,
  step: (sql: Sql) => Promise<number>,
): Promise<number> {
  return withoutTrail(() =>
    context.store.writeSql(async (sql) => {
      const count = await step(sql);
      if (count > 0)
        await noteForgotten(sql, { id: newId(), organisationId, at, what: name, count });
      return count;
    }),
  );
}

/** The entries that may go, some cars at a time. */
async function* oldEntries(
  sql: Sql,
  organisationId: string,
  cutoff: Instant,
  rest: number,
): AsyncGenerator<string[]> {
  let behind = '';
  for (;;) {
    const part = { behind, most: CARS_AT_ONCE };
    const carIds = await carsWithOldEntries(sql, organisationId, cutoff, part);
    if (carIds.length === 0) return;
    const logs = grouped(await logsOf(sql, carIds), ({ carId }) => carId);
    yield [...logs.values()].flatMap((rows) =>
      entriesToForget(rows.map(entryOf), cutoff, rest).map(({ id }) => id),
    );
    behind = carIds.at(-1) ?? '';
  }
}

function entryOf(row: Awaited<ReturnType<typeof logsOf>>[number]) {
  const { id, at, position, damp, withdrawnAt } = row;
  return {
    id,
    at,
    position: position as Position,
    damp: flag(damp),
    withdrawn: withdrawnAt !== null,
  };
}

function restHours(own: OwnFigures): number {
  return figuresFor('folding', own).properRestHours;
}
