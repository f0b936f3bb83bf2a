import { pivotInWords } from '../pivots/frame-patterns.ts';
import type { PivotState } from '../pivots/state.ts';
import type { Verdict } from '../pivots/state.ts';
import type { Calibration } from './calibration.ts';
import type { CallValues } from './call-figures.ts';
import type { CauseKind, Cure, Damage } from './damages.ts';
import { RUINS } from './damages.ts';

/** A pivot with its last state word. */
export interface PivotWord {
  /** Pivot code, such as `L-MAIN`. */
  readonly pivot: string;
  readonly state: PivotState;
}

/** What speaks for damage to come, as the records have it today. */
export interface LossSigns {
  /** Pivots that are not free; free ones, and dry ones that were oiled since, are left out. */
  readonly stateWords: readonly PivotWord[];
  readonly missingWashers: number;
  /** Days past the due day of the oiling; none or fewer than none while it is not due. */
  readonly overdueDays: number;
  /** No oiling was ever recorded: the days past its due day then tell nothing that was seen. */
  readonly neverOiled?: boolean | undefined;
  /** Days folded past the limit. */
  readonly foldedOverDays: number;
  /** It stands folded and was damp when it was folded. */
  readonly damp: boolean;
  /** Chance that a washer is lost within eight weeks, from the shop's own washer lives. */
  readonly washerLifeChance?: number | undefined;
  /** Days since a joint was found stiff or was repaired whose second look is due and did not take place. */
  readonly notLookedAtDays?: number | null | undefined;
  /** Verdict on the frame as a whole; null where nothing was measured. */
  readonly frame?: Verdict | null | undefined;
  /** Ids of faults that were found and not mended. */
  readonly faults?: readonly string[] | undefined;
  /** Of the faults found and not mended those whose work the owner agreed to. */
  readonly agreed?: readonly AgreedWork[] | undefined;
}

/** Work that an owner agreed to and that is not done. */
export interface AgreedWork {
  readonly fault: string;
  /** The pivot that it was found at; null where none was named. */
  readonly pivot: string | null;
}

/** One cause with what it ruins, how likely that is in eight weeks, and what cures it. */
export interface Cause {
  readonly kind: CauseKind;
  readonly damage: Damage;
  readonly words: string;
  readonly chance: number;
  readonly cure: Cure;
}

const FAULT_CAUSES: Readonly<Record<string, CauseKind>> = {
  'cover-shrunk': 'cover-shrinking',
  'plastic-window-aged': 'window-ageing',
  'bonded-glass-lifting': 'window-ageing',
  'tailgate-seal-missing': 'seal-lost',
  'frame-shakes': 'frame-moving',
  'frame-twisted': 'frame-moving',
};

const FAULT_WORDS: Partial<Readonly<Record<CauseKind, string>>> = {
  'cover-shrinking': 'the cover has shrunk',
  'window-ageing': 'the window fails',
  'seal-lost': 'the tailgate seal is gone',
  'frame-moving': 'the frame moves',
};

/** Found, these are spent: no look saves them, and their renewal is the work itself. */
const SPENT: ReadonlySet<string> = new Set(['cover-shrunk', 'bonded-glass-lifting']);

const JOINT_FAULTS: Readonly<Record<string, Exclude<PivotState, 'free'>>> = {
  'pivot-dry': 'dry',
  'pivot-stiff': 'stiff',
  'pivot-seized': 'seized',
  'pivot-sheared': 'sheared',
  'hole-oval': 'oval',
};

/**
 * Every cause with a chance above none, in the order of the trade: what stands folded, what lacks oil,
 * the joints, the frame, the cloth. Throws RangeError naming a count or chance that is impossible.
 */
export function causesOf(signs: LossSigns, values: CallValues, calibration: Calibration): Cause[] {
  requireSigns(signs);
  const cause = (kind: CauseKind, words: string, chance: number, cure: Cure): Cause[] =>
    chance > 0 ? [{ kind, damage: RUINS[kind], words, chance, cure }] : [];
  const over = Math.max(0, signs.foldedOverDays);
  const overdue = Math.max(0, signs.overdueDays);
  return [
    ...cause(
      'folded-too-long',
      `folded ${over < 1 ? 'less than a day' : counted(Math.floor(over), 'day')} past its limit`,
      // A day begun harms as a whole one, so that the call is there from the limit on.
      Math.min(values.foldedOverMost, repeated(values.foldedOverDay, Math.ceil(over))),
      'ask-to-raise',
    ),
    ...cause('folded-damp', 'folded damp', signs.damp ? values.damp : 0, 'ask-to-raise'),
    ...cause(
      'oil-overdue',
      signs.neverOiled === true
        ? 'no oiling on record'
        : `oiling ${counted(overdue, 'day')} overdue`,
      Math.min(values.overdueMost, repeated(values.overdueMonth, overdue / 30)),
      'oil',
    ),
    ...signs.stateWords.flatMap((word) => jointCause(word, signs, cause, { values, calibration })),
    ...cause(
      'washer-missing',
      `${counted(signs.missingWashers, 'washer')} missing`,
      repeated(calibration.washerMissing ?? values.washerMissing, signs.missingWashers),
      isAgreed(signs, 'washers-missing') ? 'book-agreed' : 'washers',
    ),
    ...cause(
      'washer-old',
      'washers near the end of their life',
      (signs.washerLifeChance ?? 0) * values.lostWasherHarm,
      'washers',
    ),
    ...secondLook(signs, cause, values, calibration),
    ...faultCauses(signs, values),
  ];
}

type MakeCause = (kind: CauseKind, words: string, chance: number, cure: Cure) => Cause[];

function jointCause(
  { pivot, state }: PivotWord,
  { agreed = [] }: LossSigns,
  cause: MakeCause,
  { values, calibration }: { readonly values: CallValues; readonly calibration: Calibration },
): Cause[] {
  if (state === 'free') return [];
  const words = `${pivotInWords(pivot)} ${OUTLOOK[state]}`;
  const known = state === 'dry' || state === 'stiff' || state === 'loose';
  const chance = (known ? calibration[state] : undefined) ?? values[state];
  const settled = agreed.some(
    (work) => JOINT_FAULTS[work.fault] === state && (work.pivot ?? pivot) === pivot,
  );
  return cause(state, words, chance, settled ? 'book-agreed' : JOINT_CURES[state]);
}

/** What a look at a joint that is still stiff would tell is counted with that joint. */
function secondLook(
  { notLookedAtDays, stateWords }: LossSigns,
  cause: MakeCause,
  values: CallValues,
  { repaired }: Calibration,
): Cause[] {
  if (typeof notLookedAtDays !== 'number') return [];
  if (stateWords.some(({ state }) => state === 'stiff')) return [];
  const words = `a joint that was stiff or was repaired ${counted(notLookedAtDays, 'day')} ago was not looked at since`;
  return cause('not-looked-at', words, repaired ?? values.repaired, 'second-look');
}

const JOINT_CURES: Readonly<Record<Exclude<PivotState, 'free'>, Cure>> = {
  dry: 'oil',
  stiff: 'joint',
  loose: 'washers',
  oval: 'repair',
  seized: 'repair',
  sheared: 'repair',
};

const OUTLOOK: Readonly<Record<Exclude<PivotState, 'free'>, string>> = {
  dry: 'is dry',
  stiff: 'is stiff',
  loose: 'is loose',
  oval: 'has an oval hole',
  seized: 'is seized',
  sheared: 'is sheared',
};

function chanceOfFault(kind: CauseKind, values: CallValues): number {
  if (kind === 'cover-shrinking') return values.coverShrinking;
  if (kind === 'window-ageing') return values.windowAgeing;
  return kind === 'seal-lost' ? values.sealLost : values.frameMoving;
}

function cureOfFault(kind: CauseKind): Cure {
  if (kind === 'seal-lost') return 'seal';
  return kind === 'frame-moving' ? 'frame' : 'look';
}

function isAgreed({ agreed = [] }: LossSigns, fault: string): boolean {
  return agreed.some((work) => work.fault === fault);
}

/**
 * What faults that were found still lead to, each kind once. Of a cover or a window whose renewal is agreed
 * that renewal is no loss to be avoided; what it lets in until then is. What is spent and not agreed
 * is for the owner to decide: no deed of the shop saves it.
 */
function faultCauses(signs: LossSigns, values: CallValues): Cause[] {
  const frameMoves = signs.frame === 'plan' || signs.frame === 'act';
  const found = (signs.faults ?? []).flatMap((fault) => {
    const kind = FAULT_CAUSES[fault];
    if (kind === undefined) return [];
    return [{ fault, kind, agreed: isAgreed(signs, fault) }];
  });
  const kinds = new Set(
    found.filter(({ fault, agreed }) => agreed || !SPENT.has(fault)).map(({ kind }) => kind),
  );
  if (frameMoves) kinds.add('frame-moving');
  return [...kinds].flatMap((kind): Cause[] => {
    const chance = chanceOfFault(kind, values);
    if (!(chance > 0)) return [];
    const settled = found.some((one) => one.kind === kind && one.agreed);
    const damage = settled && RUINS[kind] === 'window' ? 'lining' : RUINS[kind];
    const cure = settled ? 'book-agreed' : cureOfFault(kind);
    return [{ kind, damage, words: FAULT_WORDS[kind] ?? kind, chance, cure }];
  });
}

/** Chance of harm from `times` independent doses of one chance; `times` need not be whole. */
function repeated(chance: number, times: number): number {
  return 1 - (1 - chance) ** times;
}

function counted(count: number, noun: string): string {
  return count === 1 ? `one ${noun}` : `${Math.round(count)} ${noun}s`;
}

function requireSigns(signs: LossSigns): void {
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
