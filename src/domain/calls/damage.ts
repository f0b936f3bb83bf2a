import { pivotInWords } from '../pivots/frame-patterns.ts';
import type { PivotState, Verdict } from '../pivots/state.ts';
import type { CallValues } from './call-figures.ts';

/** A pivot with its last state word. */
export interface PivotWord {
  /** Pivot code, such as `L-MAIN`. */
  readonly pivot: string;
  readonly state: PivotState;
}

/** The signs that damage is near, as the records have them today. */
export interface DamageSigns {
  /** Worst verdict of all the pivots. */
  readonly verdict: Verdict;
  /** Pivots that are not free; free ones may be left out. */
  readonly stateWords: readonly PivotWord[];
  readonly missingWashers: number;
  /** Days past the due day of the oiling; none or fewer than none while it is not due. */
  readonly overdueDays: number;
  /** Days folded past the limit. */
  readonly foldedOverDays: number;
  /** True if it stands folded and was damp when it was folded. */
  readonly damp: boolean;
  /** Chance that a washer is lost within eight weeks, from the shop's own washer lives. */
  readonly washerLifeChance?: number;
}

/** One sign in words, with the chance of damage in eight weeks that it alone would bring. */
export interface Cause {
  readonly kind: 'joint' | 'verdict' | 'washers' | 'oiling' | 'folding';
  readonly words: string;
  readonly chance: number;
}

/**
 * Every sign that carries a chance, the largest first; signs alike in chance stay in the order
 * joints, washers, oiling, folding. Throws RangeError naming a count or chance that is impossible.
 */
export function causesOfDamage(signs: DamageSigns, values: CallValues): Cause[] {
  requireSigns(signs);
  const causes: Cause[] = [
    ...signs.stateWords.map(({ pivot, state }): Cause => ({
      kind: 'joint',
      words: `${pivotInWords(pivot)} ${OUTLOOK[state]}`,
      chance: values[STATE_CHANCE[state]],
    })),
    {
      kind: 'verdict',
      words: VERDICT_WORDS[signs.verdict],
      chance: values[VERDICT_CHANCE[signs.verdict]],
    },
    {
      kind: 'washers',
      words: `${counted(signs.missingWashers, 'washer')} missing`,
      chance: repeated(values.washerMissing, signs.missingWashers),
    },
    {
      kind: 'washers',
      words: 'washers near the end of their life',
      chance: (signs.washerLifeChance ?? 0) * values.lostWasherHarm,
    },
    {
      kind: 'oiling',
      words: `oiling ${counted(signs.overdueDays, 'day')} overdue`,
      chance: Math.min(
        values.overdueMost,
        repeated(values.overdueMonth, Math.max(0, signs.overdueDays) / 30),
      ),
    },
    {
      kind: 'folding',
      words: `folded ${counted(signs.foldedOverDays, 'day')} past its limit`,
      chance: Math.min(
        values.foldedOverMost,
        repeated(values.foldedOverDay, Math.max(0, signs.foldedOverDays)),
      ),
    },
    { kind: 'folding', words: 'folded damp', chance: signs.damp ? values.damp : 0 },
  ];
  return causes.filter((cause) => cause.chance > 0).toSorted((a, b) => b.chance - a.chance);
}

/** Chance that at least one of independent causes does its damage. */
export function combinedChance(causes: readonly Cause[]): number {
  return 1 - causes.reduce((none, cause) => none * (1 - cause.chance), 1);
}

/** Bench hours that the damage would cost, where the organisation has set no cost of its own. */
export function usualRepairHours(
  stateWords: readonly PivotWord[],
  values: Pick<CallValues, 'repairHours' | 'frameHours'>,
): number {
  const sheared = stateWords.some(({ state }) => state === 'sheared');
  return sheared ? values.frameHours : values.repairHours;
}

const STATE_CHANCE = {
  free: 'stateFree',
  dry: 'stateDry',
  stiff: 'stateStiff',
  loose: 'stateLoose',
  oval: 'stateOval',
  seized: 'stateSeized',
  sheared: 'stateSheared',
} as const satisfies Record<PivotState, keyof CallValues>;

const OUTLOOK: Readonly<Record<PivotState, string>> = {
  free: 'turns freely',
  dry: 'is dry and could rust',
  stiff: 'is stiff and could seize',
  loose: 'is loose and wears its hole',
  oval: 'has an oval hole that grows',
  seized: 'is seized and could shear',
  sheared: 'is sheared and could twist the frame',
};

const VERDICT_CHANCE = {
  good: 'verdictGood',
  watch: 'verdictWatch',
  plan: 'verdictPlan',
  act: 'verdictAct',
} as const satisfies Record<Verdict, keyof CallValues>;

const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  good: 'nothing found wrong',
  watch: 'a joint to keep an eye on',
  plan: 'a joint due for work',
  act: 'a joint past safe use',
};

/** Chance of harm from `times` independent doses of one chance; `times` need not be whole. */
function repeated(chance: number, times: number): number {
  return 1 - (1 - chance) ** times;
}

function counted(count: number, noun: string): string {
  return count === 1 ? `one ${noun}` : `${Math.round(count)} ${noun}s`;
}

function requireSigns(signs: DamageSigns): void {
  const { missingWashers, overdueDays, foldedOverDays, washerLifeChance = 0 } = signs;
  if (!Number.isInteger(missingWashers) || missingWashers < 0) {
    throw new RangeError('missingWashers must be a whole number of zero or more');
  }
  if (!Number.isFinite(overdueDays)) throw new RangeError('overdueDays must be a number');
  if (!Number.isFinite(foldedOverDays)) throw new RangeError('foldedOverDays must be a number');
  if (!(washerLifeChance >= 0 && washerLifeChance <= 1)) {
    throw new RangeError('washerLifeChance must lie between 0 and 1');
  }
}
