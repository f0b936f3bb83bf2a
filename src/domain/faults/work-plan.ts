import type { Wording } from '../advice/advice.ts';
import type { Caution } from '../cautions/cautions.ts';
import { atTop, cautionsFor } from '../cautions/cautions.ts';
import { type FigureValues, valuesOf } from '../figures/figure.ts';
import { KITS, type Part } from '../parts/kits.ts';
import type { PivotKind } from '../pivots/frame-patterns.ts';
import { worksOf } from './fault-works.ts';
import type { Remedy } from './find.ts';
import type { TopTraits } from './top-traits.ts';
import { FAULT_WORK_FIGURES } from './work-figures.ts';
import type { FaultWork, NeededPart, Stage } from './work-rows.ts';
import { FAULT_WORK } from './work-rows.ts';

export type WorkValues = FigureValues<typeof FAULT_WORK_FIGURES>;

/** A joint that a piece of work is done at. */
export interface WorkJoint {
  readonly code: string;
  readonly kind: PivotKind;
}

/** A fault by its id and name. */
export interface NamedFault {
  readonly fault: string;
  readonly name: string;
}

/** One piece of work, on one fault, at all the joints that have it. */
export interface PlannedWork {
  readonly fault: string;
  readonly name: string;
  readonly stage: Stage;
  readonly work: string;
  readonly mustNot: string;
  /** What it cures besides. */
  readonly also: readonly NamedFault[];
  /** The check to make before it, where the cause is not proven yet. */
  readonly proveFirst: string | null;
  readonly byJoint: boolean;
  /** It can only be done with the cover off. */
  readonly strips: boolean;
  /** Codes of the joints it is done at; empty where none is named yet. */
  readonly joints: readonly string[];
  /** Bench time, without taking the cover off (shop rule). */
  readonly hours: number;
  readonly parts: readonly PlannedPart[];
}

export interface PlannedPart {
  /** Null while it depends on a joint that is not named yet. */
  readonly part: Part | null;
  readonly label: string;
  readonly quantity: number;
}

/** What is to be done, in the order in which it is done. */
export interface WorkPlan {
  readonly steps: readonly PlannedWork[];
  /** What waits until the top may be moved again. */
  readonly later: readonly NamedFault[];
  /** Bench time to take the cover off and put it on again, once; 0 where no work needs it. */
  readonly strippingHours: number;
  readonly hours: number;
  readonly parts: readonly PlannedPart[];
  readonly first: Wording;
  readonly cautions: readonly Caution[];
}

/** The top, and at which joints each fault was found, by its id. */
export interface PlanKnown {
  readonly top?: TopTraits | undefined;
  readonly joints?: Readonly<Record<string, readonly WorkJoint[]>> | undefined;
  /** The top may not be moved now. */
  readonly mustStay?: boolean | undefined;
}

/**
 * The work on causes that are proven or stand clear, in the order of the trade, with hours, parts and
 * cautions. The cover comes off once, however much work lies under it; a new cover cures what ails the
 * old one, and a porous vinyl cover is not proofed but renewed. Hours: shop rules.
 */
export function workPlan(
  remedies: readonly Remedy[],
  { top, joints = {}, mustStay = false }: PlanKnown = {},
  values: WorkValues = valuesOf(FAULT_WORK_FIGURES),
): WorkPlan {
  const byFault = new Map(remedies.map((remedy) => [remedy.fault, remedy]));
  const renewedFor = [
    'cover-shrunk',
    ...(top?.material === 'vinyl' ? ['coating-porous'] : []),
  ].find((fault) => byFault.has(fault));
  const cured =
    renewedFor === undefined
      ? []
      : remedies.filter(({ fault }) => GOES_WITH_COVER.has(fault) && fault !== renewedFor);
  const steps = FAULT_WORK.flatMap((row): PlannedWork[] => {
    const remedy = byFault.get(row.fault);
    if (remedy === undefined || cured.includes(remedy)) return [];
    if (mustStay && row.movesTop === true) return [];
    const isNewCover = row.fault === renewedFor;
    const work = isNewCover ? NEW_COVER : row;
    const step = plannedWork(work, remedy, joints[row.fault] ?? [], values);
    const also = isNewCover ? cured.map(({ fault, name }) => ({ fault, name })) : [];
    return [{ ...step, also }];
  });
  const strippingHours = steps.some(({ strips }) => strips) ? values.stripping : 0;
  const { first, cautions } = cautionsFor(...worksOf(steps.map(({ fault }) => fault)));
  const taken = new Set(steps.map(({ fault }) => fault));
  return {
    steps,
    later: remedies
      .filter((remedy) => !taken.has(remedy.fault) && !cured.includes(remedy))
      .map(({ fault, name }) => ({ fault, name })),
    strippingHours,
    hours: steps.reduce((sum, { hours }) => sum + hours, strippingHours),
    parts: together(steps.flatMap(({ parts }) => parts)),
    first,
    cautions: steps.length === 0 ? [] : atTop(cautions, top?.powered),
  };
}

const NEW_COVER: FaultWork = FAULT_WORK.find(({ fault }) => fault === 'cover-shrunk')!;

/** What a new cover cures by itself: common practice, no source. */
const GOES_WITH_COVER: ReadonlySet<string> = new Set([
  'coating-porous',
  'vinyl-hard',
  'stitches-rotted',
  'cover-worn-through',
  'edges-flutter-worn',
  'cable-pocket-open',
  'cold-shrink-back',
  'plastic-window-aged',
]);

function plannedWork(
  row: FaultWork,
  remedy: Remedy,
  joints: readonly WorkJoint[],
  values: WorkValues,
): Omit<PlannedWork, 'also'> {
  const times = row.byJoint === true ? Math.max(1, joints.length) : 1;
  const { text, name, mustNot, proveFirst } = remedy;
  return {
    fault: remedy.fault,
    name,
    stage: row.stage,
    work: text,
    mustNot,
    proveFirst,
    byJoint: row.byJoint === true,
    strips: row.strips === true,
    joints: joints.map(({ code }) => code),
    hours: values[row.fault] * times,
    parts: together(
      row.parts.flatMap((part) =>
        row.byJoint === true && part !== 'oil' && joints.length > 0
          ? joints.map(({ kind }) => pieceOf(part, kind))
          : [pieceOf(part, null)],
      ),
    ),
  };
}

function pieceOf(part: NeededPart, kind: PivotKind | null): PlannedPart {
  const known = partFor(part, kind);
  const label = known === null ? 'repair set for that joint' : KITS[known].label;
  return { part: known, label, quantity: 1 };
}

/** The part of the stock that a need comes to at a joint; null while its joint is not known. */
export function partFor(part: NeededPart, kind: PivotKind | null): Part | null {
  if (part !== 'joint-set') return part;
  if (kind === null) return null;
  return kind === 'main' ? 'main-set' : kind === 'header-hinge' ? 'header-pin' : 'link-set';
}

function together(pieces: readonly PlannedPart[]): PlannedPart[] {
  const sums = new Map<string, PlannedPart>();
  for (const piece of pieces) {
    const quantity = (sums.get(piece.label)?.quantity ?? 0) + piece.quantity;
    sums.set(piece.label, { ...piece, quantity });
  }
  return [...sums.values()];
}
