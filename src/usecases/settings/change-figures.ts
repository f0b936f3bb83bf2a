import { figureChangesAfter, storeOwnRules } from '../../store/organisations/figure-rows.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { OwnFigures, TableName } from '../../domain/figure-tables/figure-tables.ts';
import { figureNamed, ownFigureProblem } from '../../domain/figure-tables/figure-tables.ts';
import type { Fault } from '../../domain/refusal.ts';
import { invalid, pointerTo, Refused } from '../../domain/refusal.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { holdOrganisation, reconsiderAll, retellAllVisits } from './hold-organisation.ts';
import { refreshAllLubrication } from '../own/lubrication-record.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import { requireVersion } from '../context/version.ts';

/** By the full name of the figure; null goes back to the default. */
export type FigureChange = Readonly<Record<string, number | null>>;

interface Step {
  readonly figure: string;
  readonly was: number | null;
  readonly becomes: number | null;
}

/** Tables whose figures neither decide which letters are owed nor stand in one that waits. */
const TELL_NO_OWNER: ReadonlySet<string> = new Set<TableName>([
  'calls',
  'estimate',
  'faults',
  'parts',
  'practice',
  'retention',
]);

/**
 * Sets figures of the organisation's own in place of shop rules, or takes them back. What they decide
 * is worked out anew in the same transaction: due days, and which letters are still true. What waits
 * may tell the figure that was, so it is cancelled and written anew. Every step is kept. The version is that of the organisation.
 */
export async function changeFigures(
  context: Context,
  caller: Caller,
  change: FigureChange,
  version: number | '*' | null,
): Promise<void> {
  refuseFaulty(change);
  const now = context.now();
  await context.store.writeSql(async (sql) => {
    const { organisation, carIds } = await holdOrganisation(sql, caller.organisationId);
    requireVersion(version, organisation.version);
    const before = ownFiguresFrom(organisation.ownRules);
    const steps = stepsOf(before, change);
    if (steps.length === 0) return;
    const own = after(before, steps);
    const next = organisation.version + 1;
    await storeOwnRules(
      sql,
      organisation.id,
      { ownRules: JSON.stringify(own), version: next },
      historyOf(caller, steps, next, now),
    );
    const tables = new Set(steps.map(({ figure }) => figure.split('.')[0] ?? ''));
    if (tables.has('interval')) await refreshAllLubrication(sql, organisation.id, own);
    if ([...tables].every((table) => TELL_NO_OWNER.has(table))) return;
    await reconsiderAll(sql, carIds, now, () => true);
    await retellAllVisits(context, sql, organisation.id, now);
  });
}

function refuseFaulty(change: FigureChange): void {
  const names = Object.keys(change);
  if (names.length === 0) throw invalid('#', 'Name at least one figure, as {"table.name": 5}.');
  const faults = names.flatMap((name): Fault[] => {
    const pointer = pointerTo([name]);
    const figure = figureNamed(name);
    if (figure === undefined) {
      return [{ pointer, detail: 'There is no such figure. See GET /v1/rules.' }];
    }
    const problem = ownFigureProblem(figure, change[name] ?? figure.value);
    return problem === null ? [] : [{ pointer, detail: problem }];
  });
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
}

function stepsOf(before: OwnFigures, change: FigureChange): Step[] {
  return Object.entries(change)
    .map(([figure, becomes]) => ({ figure, was: before[figure] ?? null, becomes }))
    .filter(({ was, becomes }) => was !== becomes);
}

function after(before: OwnFigures, steps: readonly Step[]): OwnFigures {
  const own = new Map(Object.entries(before));
  for (const { figure, becomes } of steps) {
    if (becomes === null) own.delete(figure);
    else own.set(figure, becomes);
  }
  return Object.fromEntries(own);
}

function historyOf(
  { organisationId, keyId }: Caller,
  steps: readonly Step[],
  version: number,
  changedAt: Instant,
) {
  return steps.map((step) => ({ id: newId(), organisationId, keyId, changedAt, ...step, version }));
}

export interface FigureChangeRecord extends Step {
  readonly id: string;
  readonly changedAt: Instant;
  /** The key by which it was changed. */
  readonly keyId: string;
  /** Version of the organisation after the change. */
  readonly version: number;
}

/** Every change of the organisation's figures, oldest first. */
export async function listFigureChanges(
  context: Context,
  caller: Caller,
  { limit, after: cursor }: PageRequest,
): Promise<Page<FigureChangeRecord>> {
  const [from = ''] = partsOfCursor(cursor, ['id']) ?? [''];
  const rows = await figureChangesAfter(context.store.sql, caller.organisationId, {
    after: from,
    most: limit + 1,
  });
  return pageOf(
    rows,
    limit,
    (row) => row,
    (row) => [row.id],
  );
}
