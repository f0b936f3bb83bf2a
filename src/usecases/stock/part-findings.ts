import type { PatternRecord } from '../../domain/parts/chance-of-need.ts';
import type { Part } from '../../domain/parts/kits.ts';
import type { PartFindingRow } from '../../store/stock/stock-rows.ts';
import { findingsOf, visitsDoneByPattern } from '../../store/stock/stock-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

/** The part that each of these faults takes, where its remedy is a part and nothing else. */
const PART_OF_FAULT: Readonly<Record<string, Part>> = {
  'cover-shrunk': 'cover',
  'vinyl-hard': 'cover',
  'cover-worn-through': 'cover',
  'tailgate-seal-missing': 'tailgate-seal',
  'tension-cable-broken': 'cable-pair',
  'washers-missing': 'washer-pair',
};
/** Needs that are learned from how often a visit to a frame pattern has found them. */
const LEARNED: readonly Part[] = ['tailgate-seal', 'cable-pair'];

export interface OrdersAndNeeds {
  /** Parts that owners have accepted and that are not in yet, by top. */
  readonly ordersOf: ReadonlyMap<string, Part[]>;
  /** Tops whose cover has shrunk: no cable would cure its edge. */
  readonly shrunk: ReadonlySet<string>;
  /** Own record by frame pattern. */
  readonly patterns: ReadonlyMap<string, Partial<Record<Part, PatternRecord>>>;
}

/** What findings say of parts: an accepted finding is an order, all of them are the own record. */
export async function ordersAndNeeds(sql: Sql, organisationId: string): Promise<OrdersAndNeeds> {
  const findings = await findingsOf(sql, organisationId, Object.keys(PART_OF_FAULT));
  const onCar = findings.filter(({ retiredOn }) => retiredOn === null);
  const ordersOf = new Map<string, Part[]>();
  for (const { topId, fault, outcome } of onCar) {
    const part = PART_OF_FAULT[fault];
    if (part === undefined || outcome !== 'accepted') continue;
    const ordered = ordersOf.get(topId) ?? [];
    // A cover is made once for a car, however many findings ask for it.
    if (part !== 'cover' || !ordered.includes(part)) ordersOf.set(topId, [...ordered, part]);
  }
  const shrunk = onCar.filter(
    ({ fault, outcome }) => fault === 'cover-shrunk' && outcome !== 'done',
  );
  const patterns = new Map<string, Partial<Record<Part, PatternRecord>>>();
  for (const { framePattern, visits } of await visitsDoneByPattern(sql, organisationId)) {
    patterns.set(framePattern, learned(findings, framePattern, visits));
  }
  return { ordersOf, shrunk: new Set(shrunk.map(({ topId }) => topId)), patterns };
}

function learned(
  findings: readonly PartFindingRow[],
  framePattern: string,
  visits: number,
): Partial<Record<Part, PatternRecord>> {
  const record: Partial<Record<Part, PatternRecord>> = {};
  for (const part of LEARNED) {
    const needing = new Set(
      findings
        .filter((row) => row.framePattern === framePattern && PART_OF_FAULT[row.fault] === part)
        .map(({ visitId }) => visitId),
    );
    // A finding on another kind of visit may outnumber the visits that are counted.
    record[part] = { visits: Math.max(visits, needing.size), needed: needing.size };
  }
  return record;
}
