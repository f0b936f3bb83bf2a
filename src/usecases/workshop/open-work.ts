import type { Day } from '../../domain/calendar/day.ts';
import { faultOf } from '../../domain/faults/fault-rows.ts';
import { orderedParts } from '../../domain/faults/ordered-parts.ts';
import type { WorkPlan } from '../../domain/faults/work-plan.ts';
import { workPlan } from '../../domain/faults/work-plan.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { KITS, type Part } from '../../domain/parts/kits.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import { isCarOwnerErased } from '../../store/owners/owner-rows.ts';
import { stockOf } from '../../store/stock/stock-rows.ts';
import { topsOnCars } from '../../store/tops/top-rows.ts';
import type { FoundWork } from '../../store/visits/finding-rows.ts';
import { workOnTops } from '../../store/visits/finding-rows.ts';
import { visitsAhead } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { ownCar } from '../own/car-records.ts';
import { topRecord, type TopRecord } from '../own/top-records.ts';
import { jointsOn, traitsOf } from './plan-work.ts';

/** One finding that is neither done nor declined. */
export interface OpenFinding {
  readonly id: string;
  readonly visitId: string;
  readonly fault: string | null;
  readonly pivot: string | null;
  readonly text: string;
  readonly advised: string;
  readonly accepted: boolean;
  readonly on: Day;
}

/** A joint whose last reading asks for the same work as a finding would. */
export interface ReadJoint {
  readonly fault: string;
  readonly pivot: string;
  readonly on: Day;
}

export interface OpenWork {
  readonly car: { readonly id: string; readonly registration: string; readonly timeZone: string };
  /** The owner of the car was erased: nobody is left to be rung or written to. */
  readonly erased: boolean;
  readonly top: TopRecord | null;
  readonly plan: WorkPlan;
  readonly findings: readonly OpenFinding[];
  readonly read: readonly ReadJoint[];
  /** The parts of the plan, with what the shop has of them and whether the owner has agreed. */
  readonly parts: readonly {
    readonly label: string;
    readonly quantity: number;
    readonly agreed: number;
    readonly inHand: number;
    readonly onOrder: number;
  }[];
  /** The visit that is booked next; null where none is. */
  readonly next: {
    readonly id: string;
    readonly kind: string;
    readonly on: Day | null;
    readonly minutes: number | null;
  } | null;
}

/** All work that is open on a car's top, in the order in which it is done. */
export async function readOpenWork(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<OpenWork> {
  const { sql, records } = context.store;
  const { organisationId } = caller;
  const { id, registration, timeZone } = await ownCar(records, caller, carId);
  const car = { id, registration, timeZone };
  const erased = await isCarOwnerErased(sql, carId);
  const [row] = await topsOnCars(sql, [carId]);
  if (row === undefined) {
    const nothing = { plan: workPlan([]), findings: [], read: [], parts: [], next: null };
    return { car, erased, top: null, ...nothing };
  }
  const top = await topRecord(sql, row, context.now());
  const findings = openFindings(await workOnTops(sql, [top.id]));
  const read = readJoints(top, findings);
  const own = await ownFiguresOf(sql, organisationId);
  const known = {
    top: traitsOf(top),
    joints: jointsOn(top, codesByFault([...findings, ...read])),
    mustStay: top.mayMove.verdict === 'leave',
  };
  const plan = workPlan(remediesOf([...findings, ...read]), known, figuresFor('faultWork', own));
  const [next] = await visitsAhead(records, top.id);
  const stock = new Map((await stockOf(sql, organisationId)).map((one) => [one.part, one]));
  const agreed = agreedParts(findings, top);
  return {
    car,
    erased,
    top,
    plan,
    findings,
    read,
    parts: plan.parts.map(({ part, label, quantity }) => ({
      label,
      quantity,
      agreed: part === null ? 0 : (agreed.get(part) ?? 0),
      inHand: part === null ? 0 : (stock.get(part)?.inHand ?? 0),
      onOrder: part === null ? 0 : (stock.get(part)?.onOrder ?? 0),
    })),
    next:
      next === undefined
        ? null
        : { id: next.id, kind: next.kind, on: next.plannedOn, minutes: next.minutes },
  };
}

/** The last word on each fault at each joint, where that left it open. */
function openFindings(work: readonly FoundWork[]): OpenFinding[] {
  const last = new Map<string, FoundWork>();
  for (const one of work) last.set(JSON.stringify([one.fault, one.pivotCode ?? null]), one);
  return [...last.values()]
    .filter(({ outcome }) => outcome === 'advised' || outcome === 'accepted')
    .map(({ id, visitId, fault, pivotCode, text, advised, outcome, on }) => ({
      id,
      visitId,
      fault: faultOf(fault) === undefined ? null : fault,
      pivot: pivotCode ?? null,
      text,
      advised,
      accepted: outcome === 'accepted',
      on,
    }));
}

/** The fault that a word about a joint means. */
const FAULT_OF_SIGN: Readonly<Record<string, string>> = {
  sheared: 'pivot-sheared',
  seized: 'pivot-seized',
  oval: 'hole-oval',
  stiff: 'pivot-stiff',
  washers: 'washers-missing',
};

/** What the readings of joints say that no finding says. */
function readJoints({ mayMove }: TopRecord, findings: readonly OpenFinding[]): ReadJoint[] {
  return mayMove.reasons.flatMap(({ sign, pivot, on }) => {
    const fault = FAULT_OF_SIGN[sign];
    const isFound = findings.some((one) => one.fault === fault && one.pivot === pivot);
    return fault === undefined || pivot === null || isFound ? [] : [{ fault, pivot, on }];
  });
}

type FaultAt = Pick<OpenFinding, 'fault' | 'pivot'>;

function codesByFault(findings: readonly FaultAt[]): Record<string, string[]> {
  const codes: Record<string, string[]> = {};
  for (const { fault, pivot } of findings) {
    if (fault !== null && pivot !== null) codes[fault] = [...(codes[fault] ?? []), pivot];
  }
  return codes;
}

function remediesOf(findings: readonly FaultAt[]) {
  return [...new Set(findings.map(({ fault }) => fault))].flatMap((id) => {
    const fault = faultOf(id ?? '');
    if (fault === undefined) return [];
    const { item, remedy, mustNot } = fault;
    const standing = 'proven' as const;
    return [{ fault: fault.id, name: item, standing, text: remedy, mustNot, proveFirst: null }];
  });
}

function agreedParts(findings: readonly OpenFinding[], top: TopRecord): Map<Part, number> {
  const kinds = new Map(top.pivots.map(({ code, kind }) => [code, kind as PivotKind]));
  const sums = new Map<Part, number>();
  for (const { fault, pivot } of findings.filter(({ accepted }) => accepted)) {
    const kind = kinds.get(pivot ?? '') ?? null;
    for (const part of orderedParts(fault ?? '', { kind, material: top.cover.material })) {
      const once = KITS[part].onOrderOnly === true;
      sums.set(part, once ? 1 : (sums.get(part) ?? 0) + 1);
    }
  }
  return sums;
}
