import { type FigureValues, valuesOf } from '../figures/figure.ts';
import { FAULT_FIGURES } from './fault-figures.ts';
import { FAULTS } from './fault-rows.ts';
import type { Fault } from './fault.ts';
import { informationGainBits, updated } from './inference.ts';
import { type Sign, signOf, SIGNS } from './signs.ts';
import { warningsFor } from './wrong-sales.ts';

type Values = FigureValues<typeof FAULT_FIGURES>;

/** The signs that were ticked, and those that were looked for and are not there. */
export interface Ticked {
  readonly seen: readonly string[];
  readonly ruledOut?: readonly string[];
}

/** How often each fault, by id, was found by the organisation itself. */
export type OwnFindings = Readonly<Record<string, number>>;

export interface LikelyCause {
  readonly id: string;
  readonly name: string;
  /** 0 to 1; all causes together sum to 1, the unlikely ones are not listed. */
  readonly chance: number;
  readonly why: string;
}

export interface NextCheck {
  /** Sign id: tick it if the check turns out as `result` says, else rule it out. */
  readonly id: string;
  /** What to do. */
  readonly text: string;
  /** What is seen if the check is positive. */
  readonly result: string;
  readonly gainBits: number;
  /** Ids of the listed causes that a positive and a negative answer speak for. */
  readonly separates: { readonly yes: readonly string[]; readonly no: readonly string[] };
}

export interface FaultAnswer {
  readonly causes: readonly LikelyCause[];
  readonly nextCheck: NextCheck | null;
  readonly remedy: string | null;
  readonly mustNot: readonly string[];
  readonly warnings: readonly string[];
  /** Where the chances before any sign came from. */
  readonly priors: 'equal' | 'own findings';
}

export interface FaultRefusal {
  readonly refused: string;
  readonly signs: readonly string[];
}

/**
 * The likely causes of the ticked signs in order, the check that tells most about them (expected
 * information gain), the remedy of the leading cause, what must not be done, and a warning where
 * the obvious sale is the wrong one. As long as nothing is seen there are no causes and nothing to advise.
 *
 * Causes start with equal chances until the organisation has enough findings of its own; then with
 * (findings + 1) / (all + number of causes), the rule of succession. Likelihoods: shop rules.
 *
 * Refused, by name: signs that do not exist, and signs both seen and ruled out.
 */
export function findFaults(
  ticked: Ticked,
  own: OwnFindings = {},
  values: Values = valuesOf(FAULT_FIGURES),
): FaultAnswer | FaultRefusal {
  const seen = new Set(ticked.seen);
  const ruledOut = new Set(ticked.ruledOut);
  const unknown = [...seen, ...ruledOut].filter((id) => signOf(id) === undefined);
  if (unknown.length > 0) return { refused: 'these signs do not exist', signs: unknown };
  const both = [...seen].filter((id) => ruledOut.has(id));
  if (both.length > 0) return { refused: 'these signs are both seen and ruled out', signs: both };

  const { chances: start, priors } = startingChances(own, values);
  if (seen.size === 0) {
    return { causes: [], nextCheck: null, remedy: null, mustNot: [], warnings: [], priors };
  }
  // In the order of the list, so that rounding cannot make the order of ticking matter.
  let chances = start;
  for (const { id } of SIGNS) {
    const yes = seen.has(id);
    if (!yes && !ruledOut.has(id)) continue;
    chances = updated(
      chances,
      chancesOfSign(id, values).map((p) => (yes ? p : 1 - p)),
    );
  }
  const ranked = FAULTS.map((fault, i) => ({ fault, chance: chances[i] ?? 0 })).sort(
    (a, b) => b.chance - a.chance,
  );
  const top = ranked[0]?.chance ?? 0;
  const listed = ranked.filter((cause) => cause.chance >= top * values.listedShare);
  const leading = ranked.filter((cause) => cause.chance >= top * values.leadingShare);
  return {
    causes: listed.map(({ fault, chance }) => ({
      id: fault.id,
      name: fault.item,
      chance,
      why: reason(fault, seen, ruledOut, values),
    })),
    nextCheck: bestCheck(chances, listed, seen, ruledOut, values),
    remedy: ranked[0]?.fault.remedy ?? null,
    mustNot: leading.map(({ fault }) => fault.mustNot),
    warnings: warningsFor(seen, ruledOut),
    priors,
  };
}

/** How likely the sign is if the fault is there, from 0 to 1. */
export function likelihood(fault: Fault, sign: string, values: Values): number {
  const named = fault.signs[sign];
  if (named !== undefined) return values[named];
  return sign === fault.sign || sign === fault.proof ? values.almostAlways : values.unrelated;
}

function startingChances(own: OwnFindings, values: Values) {
  const counts = FAULTS.map((fault) => own[fault.id] ?? 0);
  const total = counts.reduce((sum, n) => sum + n, 0);
  const enough = total >= values.ownFindingsNeeded;
  return {
    chances: counts.map((n) => (enough ? (n + 1) / (total + FAULTS.length) : 1 / FAULTS.length)),
    priors: enough ? ('own findings' as const) : ('equal' as const),
  };
}

function chancesOfSign(sign: string, values: Values): number[] {
  return FAULTS.map((fault) => likelihood(fault, sign, values));
}

function bestCheck(
  chances: readonly number[],
  listed: readonly { fault: Fault; chance: number }[],
  seen: ReadonlySet<string>,
  ruledOut: ReadonlySet<string>,
  values: Values,
): NextCheck | null {
  const open = SIGNS.filter((sign) => !seen.has(sign.id) && !ruledOut.has(sign.id));
  const best =
    mostTelling(open.filter((sign) => sign.how !== undefined)) ??
    mostTelling(open.filter((sign) => sign.how === undefined));
  if (best === null) return null;

  const { sign, gainBits } = best;
  const speaksFor = ({ fault }: { fault: Fault }) => likelihood(fault, sign.id, values) >= 0.5;
  return {
    id: sign.id,
    text: sign.how ?? `look whether ${sign.text}`,
    result: sign.text,
    gainBits,
    separates: {
      yes: listed.filter((cause) => speaksFor(cause)).map((cause) => cause.fault.id),
      no: listed.filter((cause) => !speaksFor(cause)).map((cause) => cause.fault.id),
    },
  };

  function mostTelling(candidates: readonly Sign[]) {
    let found: { sign: Sign; gainBits: number } | null = null;
    for (const candidate of candidates) {
      const gain = informationGainBits(chances, chancesOfSign(candidate.id, values));
      if (gain >= values.leastGainBits && gain > (found?.gainBits ?? 0)) {
        found = { sign: candidate, gainBits: gain };
      }
    }
    return found;
  }
}

function reason(
  fault: Fault,
  seen: ReadonlySet<string>,
  ruledOut: ReadonlySet<string>,
  values: Values,
): string {
  const fits = [...seen].filter((id) => likelihood(fault, id, values) >= values.seldom);
  const missing = [...ruledOut].filter((id) => likelihood(fault, id, values) >= 0.5);
  const parts = [fault.means];
  if (fits.length > 0) parts.push(`fits: ${texts(fits)}`);
  if (missing.length > 0) parts.push(`against it: not found that ${texts(missing)}`);
  return parts.join('; ');
}

function texts(ids: readonly string[]): string {
  return ids.map((id) => signOf(id)?.text ?? id).join(', and ');
}
