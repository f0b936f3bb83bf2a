import type { Finding, Pivot, Prisma, Reading, Visit } from '../generated/sqlite/client.ts';
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

/** Calls visits off, whatever their version. */
export async function callOffVisits(
  records: Records,
  ids: readonly string[],
  changedAt: string | null,
): Promise<void> {
  await records.visit.updateMany({
    where: { id: { in: [...ids] } },
    data: {
      state: 'cancelled',
      ...(changedAt === null ? {} : { changedAt }),
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
  records: Records,
  readings: Prisma.ReadingUncheckedCreateInput[],
  findings: Prisma.FindingUncheckedCreateInput[],
): Promise<void> {
  await records.reading.createMany({ data: readings });
  await records.finding.createMany({ data: findings });
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
