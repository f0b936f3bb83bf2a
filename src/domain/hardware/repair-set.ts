import { type Caution, cautionsFor, type Work } from '../cautions/cautions.ts';
import type { Wording } from '../advice/advice.ts';
import { type FigureValues, type Mark, valuesOf } from '../figures/figure.ts';
import type { Part } from '../parts/kits.ts';
import type { PivotKind } from '../pivots/frame-patterns.ts';
import { atLeast, type Verdict } from '../pivots/state.ts';
import { BUSH_FIGURES, type BushFigures, type HoleRepair, holeRepair } from './bush.ts';
import { HARDWARE_FIGURES } from './hardware-figures.ts';
import { sizeWithFit } from './iso-fits.ts';
import { HEXAGONS, PLAIN_WASHERS, type Thread } from './iso-sizes.ts';

type Values = FigureValues<typeof HARDWARE_FIGURES>;

/** One thing to lay out for the repair of a joint. */
export interface RepairItem {
  readonly item: string;
  readonly quantity: number;
  readonly size: string;
  readonly mark: Mark;
  readonly source: string;
}

export interface RepairSet {
  /** How its worn hole is made good; null where it is not worn, or has not been measured. */
  readonly holeRepair: HoleRepair | null;
  readonly items: readonly RepairItem[];
  readonly steps: readonly string[];
  readonly first: Wording;
  readonly cautions: readonly Caution[];
}

/** Parts for a whole frame, by the names under which the shop stocks them. */
export interface FrameSet {
  readonly parts: readonly { readonly part: Part; readonly quantity: number }[];
  readonly first: Wording;
  readonly cautions: readonly Caution[];
}

/** The joint to be repaired. */
export interface JointToRepair {
  readonly kind: PivotKind;
  readonly thread: Thread;
  readonly washersExpected: number;
  /** Verdict on its hole, and how wide and how far out of round it is where it was measured. */
  readonly hole?:
    | {
        readonly verdict: Verdict;
        readonly largestMm: number | null;
        readonly outOfRoundMm?: number | undefined;
      }
    | undefined;
  readonly leafWidthMm?: number | undefined;
}

/** Kinds that take the usual set of bolt, lock nut and spacers. */
const BOLTED: readonly PivotKind[] = [
  'main',
  'link',
  'knuckle',
  'stick',
  'header-hinge',
  'rear-bow',
];

const MORE_CAUTIONS: Partial<Record<PivotKind, readonly Work[]>> = {
  ram: ['hydraulics'],
  'spring-end': ['springs'],
};

/**
 * What the repair of one joint takes: the usual method is to drill the broken pin out and to put
 * in a bolt with a lock nut and plastic spacers (common practice, no source). Rams, springs and
 * latches take only the parts of their maker.
 */
export function repairSet(
  joint: JointToRepair,
  values: Values = valuesOf(HARDWARE_FIGURES),
  bushes: BushFigures = valuesOf(BUSH_FIGURES),
): RepairSet {
  const bolted = BOLTED.includes(joint.kind);
  const worn = joint.hole !== undefined && atLeast(joint.hole.verdict, 'plan');
  const largestMm = joint.hole?.largestMm ?? null;
  const repair =
    bolted && worn && largestMm !== null
      ? holeRepair(
          {
            thread: joint.thread,
            largestMm,
            outOfRoundMm: joint.hole?.outOfRoundMm,
            leafWidthMm: joint.leafWidthMm,
          },
          bushes,
        )
      : null;
  const { first, cautions } = cautionsFor(
    'frame',
    'metalwork',
    ...(MORE_CAUTIONS[joint.kind] ?? []),
  );
  return {
    holeRepair: repair,
    items: bolted ? boltedItems(joint, repair, values) : makersItems(joint),
    steps: bolted ? boltedSteps(worn, repair, values) : makersSteps(joint),
    first,
    cautions,
  };
}

/**
 * What one frame takes to be refreshed in full, from the joints of its pattern: spacers at every
 * joint that has them, new sets for the main pivots and the links, new header pins. Knuckles and
 * sticks keep their pins unless they are found worn. A shop rule.
 */
export function frameSet(
  joints: readonly { readonly kind: PivotKind; readonly washersExpected: number }[],
): FrameSet {
  const count = (kind: PivotKind) => joints.filter((joint) => joint.kind === kind).length;
  const parts: { part: Part; quantity: number }[] = [
    { part: 'washer-pair', quantity: joints.filter((joint) => joint.washersExpected > 0).length },
    { part: 'main-set', quantity: count('main') },
    { part: 'link-set', quantity: count('link') },
    { part: 'header-pin', quantity: count('header-hinge') },
    { part: 'oil', quantity: joints.length > 0 ? 1 : 0 },
  ];
  const works: Work[] = ['frame', 'springs', 'cables', 'metalwork', 'dust'];
  if (count('ram') > 0) works.push('hydraulics');
  return { parts: parts.filter(({ quantity }) => quantity > 0), ...cautionsFor(...works) };
}

function boltedItems(
  joint: JointToRepair,
  repair: HoleRepair | null,
  values: Values,
): RepairItem[] {
  const { thread } = joint;
  const washer = PLAIN_WASHERS.rows[thread];
  const ring = `${washer.inside} × ${washer.outside}`;
  const items: RepairItem[] = [
    {
      item: 'bolt class 8.8, plain shank as long as the stack of leaves (or a shoulder bolt)',
      quantity: 1,
      size: thread,
      mark: 'from memory',
      source: 'so that no thread bears in the hole',
    },
    {
      item: 'lock nut with nylon insert, new',
      quantity: 1,
      size: `${thread}, ${HEXAGONS.rows[thread].acrossFlats} mm across flats`,
      mark: 'published, secondary copy',
      source: 'ISO 7040 and ISO 4032; ISO 2320: an insert holds less with each reuse',
    },
    {
      item: 'plain steel washer, under head and nut',
      quantity: 2,
      size: `${ring} × ${washer.thickness} mm`,
      mark: PLAIN_WASHERS.mark,
      source: PLAIN_WASHERS.source,
    },
  ];
  if (joint.washersExpected > 0) {
    items.push({
      item: 'spacer of nylon or acetal, between the leaves',
      quantity: joint.washersExpected,
      size: `${ring} mm, ${values.spacerThinMm} to ${values.spacerThickMm} mm thick by the gap`,
      mark: 'from memory',
      source: 'ring as in ISO 7089, thickness as the gap asks',
    });
  }
  if (repair?.how === 'bush') {
    const { outsideMm, insideMm, wallMm, isStock } = repair;
    items.push({
      item: `flanged bush of bronze or steel${isStock ? '' : ', turned to size'}`,
      quantity: 1,
      size: `${sizeWithFit(outsideMm, 's6')} mm outside, ${insideMm} H8 mm inside once pressed in, ${wallMm} mm of wall; hole reamed to ${sizeWithFit(outsideMm, 'H7')} mm`,
      mark: 'from memory',
      source: `fits of ISO 286-2, sizes of ISO 4379; sized from the hole found`,
    });
  }
  return items;
}

function boltedSteps(worn: boolean, repair: HoleRepair | null, values: Values): string[] {
  const steps = [
    'Take the old pin out; one that broke off or is riveted is ground flush and drilled out.',
    'Nip the nut up until the end float has gone, then back it off until the arm falls by itself: ' +
      'a moving joint is never clamped, the insert of the nut holds it there.',
    'A clamped bracket is another matter: it gets the torque of the handbook.',
    'A nut that the fingers can run past its insert is finished.',
    `Oil lightly, wipe, and look again after about ${values.lookAgainWeeks} weeks.`,
  ];
  if (repair?.how === 'weld') steps.splice(1, 0, `${repair.because}.`);
  if (repair?.how === 'bush') {
    steps.splice(1, 0, `${repair.because}. Drill under size and ream: a drill leaves it lobed.`);
  }
  if (worn && repair === null) {
    steps.splice(
      1,
      0,
      'Measure the hole across two directions with the pin out: the bush is sized from it, or it is ' +
        'welded and drilled anew.',
    );
  }
  return steps;
}

function makersItems({ kind }: JointToRepair): RepairItem[] {
  const items: Partial<Record<PivotKind, string>> = {
    ram: "clevis pin with clip, the maker's own",
    'spring-end': "ball or pin of the spring, the maker's own",
    latch: "latch pin, the maker's own",
  };
  return [
    {
      item: items[kind] ?? "pin, the maker's own",
      quantity: 1,
      size: 'as fitted',
      mark: 'from memory',
      source: 'no general size exists',
    },
  ];
}

function makersSteps({ kind }: JointToRepair): string[] {
  if (kind === 'ram') {
    return [
      "Check the clearance beside the boss against the maker's limit, and shim the bracket if needed.",
      'The torque of a ram bracket is that of the handbook (one maker: 11 to 14 N·m).',
    ];
  }
  if (kind === 'spring-end')
    return ['Never undo the spring while the top is folded: it holds energy.'];
  return ['Set both latches alike, turn by turn.'];
}
