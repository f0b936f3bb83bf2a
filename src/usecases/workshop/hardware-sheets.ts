import type { Wording } from '../../domain/advice/advice.ts';
import { atTop } from '../../domain/cautions/cautions.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { Mark } from '../../domain/figures/figure.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { HoleVerdict } from '../../domain/hardware/hole.ts';
import { holeVerdict } from '../../domain/hardware/hole.ts';
import type { ClearanceHole, PlainWasher, Thread } from '../../domain/hardware/iso-sizes.ts';
import {
  CLEARANCE_HOLES,
  HEXAGONS,
  NOMINAL_MM,
  PLAIN_WASHERS,
  THREADS,
} from '../../domain/hardware/iso-sizes.ts';
import type { HoleRepair } from '../../domain/hardware/bush.ts';
import type { HoleUse } from '../../domain/hardware/hole.ts';
import type { RepairItem } from '../../domain/hardware/repair-set.ts';
import { frameSet, repairSet } from '../../domain/hardware/repair-set.ts';
import { KITS } from '../../domain/parts/kits.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import type { Verdict } from '../../domain/pivots/state.ts';
import { invalid } from '../../domain/refusal.ts';
import { flag } from '../../store/database/sql.ts';
import { lastReadings } from '../../store/visits/last-reading-rows.ts';
import type { CautionRecord } from './caution-record.ts';
import { cautionRecordOf } from './caution-record.ts';
import type { Caller, Context } from '../context/context.ts';
import { patternPivots } from '../tops/frame-patterns.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import type { PivotRow } from '../../store/tops/pivot-rows.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import { ownTop } from '../own/top-records.ts';
import { pivotsOf } from '../../store/tops/pivot-rows.ts';

export interface HardwareRecord {
  readonly unit: 'mm';
  readonly sources: { readonly table: string; readonly mark: Mark; readonly source: string }[];
  readonly threads: {
    readonly thread: Thread;
    readonly nominal: number;
    readonly clearanceHole: ClearanceHole;
    readonly plainWasher: PlainWasher;
    readonly acrossFlats: number;
    /** Spanner size of older parts where it differs. */
    readonly olderAcrossFlats: number | null;
  }[];
}

/** The tables of sizes, with their sources. */
export function hardwareTables(): HardwareRecord {
  const tables = {
    clearanceHole: CLEARANCE_HOLES,
    plainWasher: PLAIN_WASHERS,
    acrossFlats: HEXAGONS,
  };
  return {
    unit: 'mm',
    sources: Object.entries(tables).map(([table, { mark, source }]) => ({ table, mark, source })),
    threads: THREADS.map((thread) => ({
      thread,
      nominal: NOMINAL_MM[thread],
      clearanceHole: CLEARANCE_HOLES.rows[thread],
      plainWasher: PLAIN_WASHERS.rows[thread],
      acrossFlats: HEXAGONS.rows[thread].acrossFlats,
      olderAcrossFlats: HEXAGONS.rows[thread].olderAcrossFlats ?? null,
    })),
  };
}

/** The verdict on a worn hole, with the organisation's own steps. */
export async function judgeHole(
  context: Context,
  caller: Caller,
  reading: {
    readonly thread: Thread;
    readonly diametersMm: readonly [number, number];
    readonly use?: HoleUse | undefined;
    readonly leafWidthMm?: number | undefined;
  },
  field = '#/diametersMm',
): Promise<HoleVerdict> {
  const own = await ownFiguresOf(context.store.sql, caller.organisationId);
  const judged = holeVerdict(reading, figuresFor('hole', own), figuresFor('bush', own));
  if (!('refused' in judged)) return judged;
  throw invalid(field, judged.refused.replace(/^diametersMm: /, 'Give '));
}

export interface RepairRequest {
  /** One pivot by its code; the whole frame where absent. */
  readonly pivot?: string | undefined;
  /** The pin's size in the frame pattern decides where it is absent. */
  readonly thread?: Thread | undefined;
  /** The hole across two directions, where it was measured. */
  readonly diametersMm?: readonly [number, number] | undefined;
  /** Width of the leaf across the hole, where it was measured. */
  readonly leafWidthMm?: number | undefined;
}

export interface RepairSetRecord {
  readonly pivot: string | null;
  readonly thread: Thread | null;
  readonly hole: HoleVerdict | null;
  /** How the hole is made good; null where it is sound or was not measured. */
  readonly holeRepair: HoleRepair | null;
  /** For one pivot: what to lay out. */
  readonly items: RepairItem[];
  /** For the whole frame: parts by the names under which they are stocked. */
  readonly parts: { readonly part: string; readonly label: string; readonly quantity: number }[];
  readonly steps: string[];
  readonly first: Wording;
  readonly cautions: CautionRecord[];
}

/** What the repair of one pivot of a top takes, or what its whole frame takes to be refreshed. */
export async function showRepairSet(
  context: Context,
  caller: Caller,
  topId: string,
  request: RepairRequest,
): Promise<RepairSetRecord> {
  const top = await ownTop(context.store.sql, caller, topId);
  const pivots = await pivotsOf(context.store.sql, top);
  const { pivot: code } = request;
  if (code === undefined) return wholeFrame(pivots, flag(top.powered));
  const pivot = pivots.find((known) => known.code === code);
  if (pivot === undefined) {
    throw invalid('pivot', `This top has no pivot ${code}. GET the top to see its pivots.`);
  }
  const thread = request.thread ?? (await threadOfPattern(context, caller, top, code));
  const hole =
    request.diametersMm === undefined
      ? null
      : await judgeHole(
          context,
          caller,
          { thread, diametersMm: request.diametersMm, leafWidthMm: request.leafWidthMm },
          'diametersMm',
        );
  const own = await ownFiguresOf(context.store.sql, caller.organisationId);
  const set = repairSet(
    {
      kind: pivot.kind as PivotKind,
      thread,
      washersExpected: pivot.washersExpected,
      hole: hole ?? (await holeAsLastSeen(context, top, pivot)),
      leafWidthMm: request.leafWidthMm,
    },
    figuresFor('hardware', own),
    figuresFor('bush', own),
  );
  return {
    pivot: code,
    thread,
    hole,
    holeRepair: set.holeRepair,
    items: [...set.items],
    parts: [],
    steps: [...set.steps],
    first: set.first,
    cautions: atTop(set.cautions, flag(top.powered)).map(cautionRecordOf),
  };
}

function wholeFrame(pivots: readonly PivotRow[], powered: boolean): RepairSetRecord {
  const set = frameSet(
    pivots.map(({ kind, washersExpected }) => ({ kind: kind as PivotKind, washersExpected })),
  );
  return {
    pivot: null,
    thread: null,
    hole: null,
    holeRepair: null,
    items: [],
    parts: set.parts.map(({ part, quantity }) => ({ part, label: KITS[part].label, quantity })),
    steps: [],
    first: set.first,
    cautions: atTop(set.cautions, powered).map(cautionRecordOf),
  };
}

async function threadOfPattern(
  context: Context,
  caller: Caller,
  top: TopRow,
  code: string,
): Promise<Thread> {
  const drawn = await patternPivots(context.store.records, caller, top.framePattern);
  const pinMm = drawn?.find((pivot) => pivot.code === code)?.pinMm;
  const thread = THREADS.find((known) => NOMINAL_MM[known] === pinMm);
  if (thread !== undefined) return thread;
  throw invalid('thread', `The frame pattern names no usual pin here. Give ${THREADS.join(', ')}.`);
}

/** A hole that was found oval is not used any more; what it wants follows once it is measured. */
async function holeAsLastSeen(
  context: Context,
  top: TopRow,
  pivot: PivotRow,
): Promise<{ verdict: Verdict; largestMm: null } | undefined> {
  const today = dayIn(top.timeZone, context.now());
  const last = (await lastReadings(context.store.sql, top.carId, today)).get(pivot.id);
  return last?.state === 'oval' && !last.repaired ? { verdict: 'act', largestMm: null } : undefined;
}
