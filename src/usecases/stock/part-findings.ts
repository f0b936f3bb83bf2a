import type { PatternRecord } from '../../domain/parts/chance-of-need.ts';
import { FAULTS_WITH_PARTS, orderedParts } from '../../domain/faults/ordered-parts.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { KITS } from '../../domain/parts/kits.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import type { PartFindingRow } from '../../store/stock/stock-rows.ts';
import { findingsOf, visitsDoneByPattern } from '../../store/stock/stock-rows.ts';
import type { Sql } from '../../store/database/sql.ts';

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
  const findings = await findingsOf(sql, organisationId, FAULTS_WITH_PARTS);
  const onCar = findings.filter(({ retiredOn }) => retiredOn === null);
  const ordersOf = new Map<string, Part[]>();
  for (const finding of onCar.filter(({ outcome }) => outcome === 'accepted')) {
    for (const part of partsOf(finding)) {
      const ordered = ordersOf.get(finding.topId) ?? [];
      // What is made for a car is made once for it, however many findings ask for it.
      if (KITS[part].onOrderOnly === true && ordered.includes(part)) continue;
      ordersOf.set(finding.topId, [...ordered, part]);
    }
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
        .filter((row) => row.framePattern === framePattern && partsOf(row).includes(part))
        .map(({ visitId }) => visitId),
    );
    // A finding on another kind of visit may outnumber the visits that are counted.
    record[part] = { visits: Math.max(visits, needing.size), needed: needing.size };
  }
  return record;
}

function partsOf({ fault, pivotKind, material }: PartFindingRow): Part[] {
  return orderedParts(fault, { kind: pivotKind as PivotKind | null, material });
}
