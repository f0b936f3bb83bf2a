import type { PivotKind } from '../pivots/frame-patterns.ts';
import type { PivotState, Verdict } from '../pivots/state.ts';
import type { Part } from './kits.ts';
import type { PartValues } from './part-figures.ts';

/** What is known of one pivot before the visit. */
export interface PivotOutlook {
  readonly code: string;
  readonly kind: PivotKind;
  readonly washersExpected: number;
  /** As last counted; absent if never counted. */
  readonly washersPresent?: number;
  /** Last state word. */
  readonly state?: PivotState;
  /** Of the trend; absent while there is too little to judge. */
  readonly verdict?: Verdict;
  /** Chance that one of its washers is gone by the visit, from the shop's own washer lives. */
  readonly washerLossChance?: number;
  /** True if it already turns on a repair bolt with a lock nut. */
  readonly repairBolt?: boolean;
}

/** How often visits to one frame pattern have needed a part, as the shop has recorded it. */
export interface PatternRecord {
  readonly visits: number;
  readonly needed: number;
}

/** A booked or expected visit as the forecast of parts sees it. */
export interface VisitOutlook {
  readonly id: string;
  /** Calendar day, `YYYY-MM-DD`. */
  readonly on: string;
  readonly standing: 'booked' | 'expected';
  /** Chance that it takes place, if better known than from its standing. */
  readonly comes?: number;
  readonly material: 'vinyl' | 'cloth';
  readonly pivots: readonly PivotOutlook[];
  /** True if the cover has shrunk: new cables would not cure its edge. */
  readonly shrunkCover?: boolean;
  /** Parts that the owner has accepted or ordered for this visit, one entry a piece. */
  readonly ordered?: readonly Part[];
  /** The shop's own record of this frame pattern, part by part. */
  readonly patternRecord?: Readonly<Partial<Record<Part, PatternRecord>>>;
}

/** One piece that a visit may need, and why. */
export interface PieceNeed {
  readonly part: Part;
  readonly chance: number;
  readonly reason: string;
}

/** Every piece a visit may need, given that it takes place. Chances of nil are left out. */
export function needsOfVisit(visit: VisitOutlook, values: PartValues): PieceNeed[] {
  const needs = [
    ...visit.pivots.flatMap((pivot) => needsOfPivot(pivot, values)),
    ...needsOfCar(visit, values),
  ];
  for (const part of visit.ordered ?? []) placeOrder(needs, part);
  return needs.filter(({ chance }) => chance > 0);
}

/** An order settles the likeliest need of its part that is still open; it is not one more. */
function placeOrder(needs: PieceNeed[], part: Part): void {
  const order: PieceNeed = { part, chance: 1, reason: ORDERED };
  let likeliest = -1;
  needs.forEach((need, index) => {
    if (need.part !== part || need.reason === ORDERED) return;
    if (likeliest < 0 || need.chance > needs[likeliest]!.chance) likeliest = index;
  });
  if (likeliest < 0) needs.push(order);
  else needs[likeliest] = order;
}

const ORDERED = 'ordered by the owner';

function needsOfCar(visit: VisitOutlook, values: PartValues): PieceNeed[] {
  const learned = (part: Part, usual: number): number =>
    shrunkTowards(usual, visit.patternRecord?.[part], values.recordWeight);
  const needs: PieceNeed[] = [
    { part: 'oil', chance: learned('oil', values.oil), reason: 'any visit' },
    {
      part: 'tailgate-seal',
      chance: learned('tailgate-seal', values.tailgateSeal),
      reason: 'any visit',
    },
  ];
  if (visit.material === 'cloth') {
    const chance = learned('proofer', values.proofer);
    needs.push({ part: 'proofer', chance, reason: 'cloth cover' });
  }
  // A shrunk cover lifts its edge whatever cable is in it, so it is no reason to stock cables.
  if (visit.shrunkCover !== true) {
    const chance = learned('cable-pair', values.cablePair);
    needs.push({ part: 'cable-pair', chance, reason: 'cover not shrunk' });
  }
  return needs;
}

/** Own record weighed against the shop rule, which counts as `weight` visits. */
function shrunkTowards(usual: number, own: PatternRecord | undefined, weight: number): number {
  if (own === undefined) return usual;
  if (!(own.needed >= 0 && own.needed <= own.visits)) {
    throw new RangeError('patternRecord: needed must lie between 0 and visits');
  }
  return (own.needed + weight * usual) / (own.visits + weight);
}

const REPAIR_PART: Readonly<Partial<Record<PivotKind, Part>>> = {
  main: 'main-set',
  link: 'link-set',
  knuckle: 'link-set',
  stick: 'link-set',
  'rear-bow': 'link-set',
  'header-hinge': 'header-pin',
};

function needsOfPivot(pivot: PivotOutlook, values: PartValues): PieceNeed[] {
  const repair = REPAIR_PART[pivot.kind];
  const pin = repair === undefined ? NO_NEED : pinNeed(pivot, values);
  const washer = pivot.washersExpected > 0 ? washerNeed(pivot, values) : NO_NEED;
  // A repair set brings its own spacers and nut: they are wanted singly only without it.
  const alone = washer.chance * (1 - pin.chance);
  const needs: PieceNeed[] = [{ part: 'washer-pair', chance: alone, reason: washer.reason }];
  if (repair !== undefined) needs.push({ part: repair, ...pin });
  if (pivot.repairBolt === true) {
    needs.push({ part: 'lock-nut', chance: alone, reason: 'repair bolt opened for its washers' });
  }
  return needs;
}

const NO_NEED = { chance: 0, reason: '' };

type Need = Omit<PieceNeed, 'part'>;

function pinNeed({ state, verdict }: PivotOutlook, values: PartValues): Need {
  if (state === 'seized' || state === 'oval' || state === 'sheared') {
    return { chance: values.pinBroken, reason: `joint ${state}` };
  }
  const chances = {
    good: values.pinGood,
    watch: values.pinWatch,
    plan: values.pinPlan,
    act: values.pinAct,
  };
  return { chance: chances[verdict ?? 'good'], reason: verdictReason(verdict) };
}

function washerNeed(pivot: PivotOutlook, values: PartValues): Need {
  const { washersExpected, washersPresent = washersExpected, verdict } = pivot;
  if (washersPresent < washersExpected) {
    return { chance: values.washerMissing, reason: 'washer missing' };
  }
  const chances = {
    good: values.washerGood,
    watch: values.washerWatch,
    plan: values.washerPlan,
    act: values.washerAct,
  };
  const seen = chances[verdict ?? 'good'];
  const lost = pivot.washerLossChance ?? 0;
  if (!(lost >= 0 && lost <= 1)) throw new RangeError('washerLossChance must lie between 0 and 1');
  const chance = 1 - (1 - seen) * (1 - lost);
  return { chance, reason: lost > seen ? 'age of the washers' : verdictReason(verdict) };
}

const REASONS: Readonly<Record<Verdict, string>> = {
  good: 'joint found good',
  watch: 'joint to watch',
  plan: 'joint whose repair is to be planned',
  act: 'joint to repair now',
};

function verdictReason(verdict: Verdict | undefined): string {
  return verdict === undefined ? 'joint not judged yet' : REASONS[verdict];
}
