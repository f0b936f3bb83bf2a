import type { Finding, Pivot, Prisma, Reading, Visit } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { insertRows } from '../database/sql.ts';
import type { Records } from '../database/store.ts';

export type VisitRow = Visit;

/** A visit still ahead: nobody has said yet that it took place, was missed or called off. */
const AHEAD = { in: ['planned', 'booked'] };

/** A visit of an organisation; null where it has none of this id. */
export function findVisit(
  records: Records,
  organisationId: string,
  id: string,
): Promise<VisitRow | null> {
  return records.visit.findFirst({ where: { id, organisationId } });
}

/** The visits of a top behind an id, `most` at most, in the order they were recorded. */
export function visitsAfter(
  records: Records,
  organisationId: string,
  topId: string,
  { after, most }: { readonly after: string; readonly most: number },
): Promise<VisitRow[]> {
  return records.visit.findMany({
    where: { topId, organisationId, id: { gt: after } },
    orderBy: { id: 'asc' },
    take: most,
  });
}

/** The visits of a top that are still ahead, the soonest first. */
export function visitsAhead(records: Records, topId: string): Promise<VisitRow[]> {
  return records.visit.findMany({
    where: { topId, state: AHEAD },
    orderBy: [{ plannedOn: 'asc' }, { id: 'asc' }],
  });
}

/** The visits of a kind that are ahead of a top until a day, or have no day, but for one. */
export function visitsAheadUntil(
  records: Records,
  {
    topId,
    kind,
    until,
    exceptId,
  }: Pick<Visit, 'topId' | 'kind'> & { readonly until: string; readonly exceptId: string },
): Promise<VisitRow[]> {
  return records.visit.findMany({
    where: {
      topId,
      kind,
      id: { not: exceptId },
      state: AHEAD,
      OR: [{ plannedOn: null }, { plannedOn: { lte: until } }],
    },
  });
}

/** Adds a visit; what is left out is null. */
export async function insertVisit(
  records: Records,
  data: Prisma.VisitUncheckedCreateInput,
): Promise<void> {
  await records.visit.create({ data });
}

/** Takes a visit away on which nothing hangs; the trail keeps that it was there. */
export async function removeVisit(records: Records, id: string): Promise<void> {
  await records.visit.delete({ where: { id } });
}

/** Changes a visit at its version and counts that up; a count of 0 where it was changed meanwhile. */
export function changeVisitRow(
  records: Records,
  before: Pick<Visit, 'id' | 'version'>,
  data: Prisma.VisitUncheckedUpdateManyInput,
): Promise<{ count: number }> {
  const { id, version } = before;
  return records.visit.updateMany({
    where: { id, version },
    data: { ...data, version: version + 1 },
  });
}

/** Calls visits off, whatever their version; `closedBy` is the visit that took their place. */
export async function callOffVisits(
  records: Records,
  ids: readonly string[],
  changedAt: string | null,
  closedBy: string | null = null,
): Promise<void> {
  if (ids.length === 0) return;
  await records.visit.updateMany({
    where: { id: { in: [...ids] } },
    data: {
      state: 'cancelled',
      ...(changedAt === null ? {} : { changedAt }),
      ...(closedBy === null ? {} : { closedBy }),
      version: { increment: 1 },
    },
  });
}

/** What some visits read and found, with the pivots that were read. Three queries. */
export async function workOfVisits(
  records: Records,
  visitIds: readonly string[],
): Promise<{ readings: Reading[]; pivots: Pivot[]; findings: Finding[] }> {
  const ids = [...visitIds];
  const readings = await records.reading.findMany({ where: { visitId: { in: ids } } });
  const pivotIds = [...new Set(readings.map((reading) => reading.pivotId))];
  return {
    readings,
    pivots: await records.pivot.findMany({ where: { id: { in: pivotIds } } }),
    findings: await records.finding.findMany({
      where: { visitId: { in: ids } },
      orderBy: { id: 'asc' },
    }),
  };
}

/** Adds what a visit read and found. */
export async function insertWork(
  sql: Sql,
  readings: readonly Reading[],
  findings: readonly Finding[],
): Promise<void> {
  await insertRows(sql, 'reading', readings);
  await insertRows(sql, 'finding', findings);
}

/** A finding of a visit; null where it has none of this id. */
export function findFinding(
  records: Records,
  visitId: string,
  id: string,
): Promise<Finding | null> {
  return records.finding.findFirst({ where: { id, visitId } });
}

/** Stores what was decided about a finding. */
export async function storeOutcome(
  records: Records,
  id: string,
  data: Pick<Finding, 'outcome' | 'decidedOn'>,
): Promise<void> {
  await records.finding.update({ where: { id }, data });
}

/** Takes all findings of a visit away; the trail keeps what they said. */
export async function dropFindings(records: Records, visitId: string): Promise<void> {
  await records.finding.deleteMany({ where: { visitId } });
}

/** Gives back the bookings whose place a visit took, those from a day on; their ids. */
export async function reopenClosedBy(
  records: Records,
  visitId: string,
  from: string,
): Promise<string[]> {
  const where = { closedBy: visitId, state: 'cancelled', plannedOn: { gte: from } };
  const closed = await records.visit.findMany({ where, select: { id: true } });
  await records.visit.updateMany({
    where,
    data: { state: 'booked', closedBy: null, version: { increment: 1 } },
  });
  return closed.map(({ id }) => id);
}

/** Gives back the bookings of a top that were called off when another was fitted, those from a day on; their ids. */
export async function reopenCalledOffWith(
  records: Records,
  {
    topId,
    fittedId,
    from,
  }: { readonly topId: string; readonly fittedId: string; readonly from: string },
): Promise<string[]> {
  const fitted = await records.top.findUniqueOrThrow({ where: { id: fittedId } });
  const where = {
    topId,
    state: 'cancelled',
    closedBy: null,
    // Whatever was done to one of them since has another stamp.
    changedAt: fitted.createdAt,
    plannedOn: { gte: from },
  };
  const called = await records.visit.findMany({ where, select: { id: true } });
  await records.visit.updateMany({
    where,
    data: { state: 'booked', version: { increment: 1 } },
  });
  return called.map(({ id }) => id);
}

/** Brings a visit's readings to those handed in, by pivot; others go, and what is the same stays. */
export async function replaceReadings(
  records: Records,
  visitId: string,
  wanted: readonly Prisma.ReadingUncheckedCreateInput[],
): Promise<void> {
  const pivotIds = wanted.map(({ pivotId }) => pivotId);
  await records.reading.deleteMany({ where: { visitId, pivotId: { notIn: pivotIds } } });
  const known = await records.reading.findMany({ where: { visitId } });
  const byPivot = new Map(known.map((reading) => [reading.pivotId, reading.id]));
  for (const { id, ...reading } of wanted) {
    const there = byPivot.get(reading.pivotId);
    if (there === undefined) await records.reading.create({ data: { id, ...reading } });
    else await records.reading.update({ where: { id: there }, data: reading });
  }
}

/** Brings a visit's findings to those handed in, by id; others go. */
export async function replaceFindings(
  records: Records,
  visitId: string,
  wanted: readonly Prisma.FindingUncheckedCreateInput[],
): Promise<void> {
  const ids = wanted.map(({ id }) => id);
  await records.finding.deleteMany({ where: { visitId, id: { notIn: ids } } });
  const known = await records.finding.findMany({ where: { visitId } });
  for (const finding of wanted) {
    if (known.some(({ id }) => id === finding.id)) {
      await records.finding.update({ where: { id: finding.id }, data: finding });
    } else await records.finding.create({ data: finding });
  }
}

/** The day of the earliest visit of a top that took place; null where none did. */
export async function firstVisitOn(records: Records, topId: string): Promise<string | null> {
  const visit = await records.visit.findFirst({
    where: { topId, state: 'done', doneOn: { not: null } },
    orderBy: { doneOn: 'asc' },
    select: { doneOn: true },
  });
  return visit?.doneOn ?? null;
}

/** The visits of a car that are still ahead. */
export async function visitsOfCarAhead(records: Records, carId: string): Promise<string[]> {
  const rows = await records.visit.findMany({
    where: { carId, state: AHEAD },
    orderBy: { id: 'asc' },
    select: { id: true },
  });
  return rows.map(({ id }) => id);
}

/** The last visit that a top has had; null where it has had none. */
export function lastDoneVisit(records: Records, topId: string): Promise<VisitRow | null> {
  return records.visit.findFirst({
    where: { topId, state: 'done' },
    orderBy: [{ doneOn: 'desc' }, { id: 'desc' }],
  });
}
