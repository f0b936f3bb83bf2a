import type { FigureValues } from '../figures/figure.ts';
import type { NoisyEvidence, NoisyLink, NoisyOr } from '../statistics/noisy-or.ts';
import { noisyOrPosterior } from '../statistics/noisy-or.ts';
import type { FAULT_FIGURES } from './fault-figures.ts';
import { FAULTS } from './fault-rows.ts';
import type { Fault } from './fault.ts';
import { SIGNS } from './signs.ts';
import { canHave, type TopTraits } from './top-traits.ts';

export type FaultValues = FigureValues<typeof FAULT_FIGURES>;

/** The signs that were ticked, and those that were looked for and are not there. */
export interface Ticked {
  readonly seen: readonly string[];
  readonly ruledOut?: readonly string[];
}

/** Visits of the organisation on which a fault was found, and on how many of them each, by its id. */
export interface OwnFindings {
  readonly visits: number;
  readonly found: Readonly<Record<string, number>>;
}

export const NO_FINDINGS: OwnFindings = { visits: 0, found: {} };

/** Each fault with its chance, in the order of the list. */
export type Judged = readonly { readonly fault: Fault; readonly chance: number }[];

const FAULT_OF_PROOF = new Map(FAULTS.map((fault, at) => [fault.proof, at]));
const LOOKS = SIGNS.filter(({ id }) => !FAULT_OF_PROOF.has(id)).map(({ id }) => id);
const LOOK_AT = new Map(LOOKS.map((id, at) => [id, at]));

/** The fault that a check decides; undefined for what is seen at a look. */
export function provenBy(sign: string): Fault | undefined {
  const at = FAULT_OF_PROOF.get(sign);
  return at === undefined ? undefined : FAULTS[at];
}

/** How likely a look shows the sign if the fault is there, from 0 to 1; 0 where it does not cause it. */
export function likelihood(fault: Fault, look: string, values: FaultValues): number {
  const named = fault.signs[look];
  if (named !== undefined) return values[named];
  return look === fault.sign ? values.almostAlways : 0;
}

/** What is taken as known before anything is ticked. */
export interface Grounds {
  readonly own: OwnFindings;
  readonly top: TopTraits;
  readonly values: FaultValues;
}

/**
 * Independent faults and what they show at a look (leaky noisy-or), so that several may be there at
 * once and each sign needs explaining only once. Any number of looks costs little: with all that are
 * in the list seen at once thirteen are open together, and some twenty thousand numbers are kept in
 * all (see `eliminationOf`).
 */
export function networkOf({ own, top, values }: Grounds): NoisyOr {
  const links: NoisyLink[] = FAULTS.flatMap((fault, cause) =>
    LOOKS.flatMap((look, sign) => {
      const chance = likelihood(fault, look, values);
      return chance > 0 ? [{ cause, sign, chance }] : [];
    }),
  );
  return {
    priors: FAULTS.map((fault) => (canHave(fault, top) ? startingChance(fault, own, values) : 0)),
    leaks: LOOKS.map(() => values.unrelated),
    links,
  };
}

/** The organisation's own share of the fault, drawn towards the usual one (Beta prior). */
function startingChance({ id }: Fault, own: OwnFindings, values: FaultValues): number {
  const { usualShare, ownWeight } = values;
  if (!countsOwn(own, values)) return usualShare;
  return ((own.found[id] ?? 0) + usualShare * ownWeight) / (own.visits + ownWeight);
}

export function countsOwn({ visits }: OwnFindings, { ownFindingsNeeded }: FaultValues): boolean {
  return visits >= ownFindingsNeeded;
}

/** What was ticked as evidence: a proof found settles its fault for certain, one not found rules it out. */
export function evidenceOf({ seen, ruledOut = [] }: Ticked): NoisyEvidence {
  const among = (ids: readonly string[], table: ReadonlyMap<string, number>) =>
    new Set(ids.flatMap((id) => table.get(id) ?? []));
  return {
    seen: among(seen, LOOK_AT),
    absent: among(ruledOut, LOOK_AT),
    certain: among(seen, FAULT_OF_PROOF),
    out: among(ruledOut, FAULT_OF_PROOF),
  };
}

/** What was ticked, and the chance of every fault given that. */
export interface Judgement {
  readonly net: NoisyOr;
  readonly ticked: Ticked;
  readonly judged: Judged;
  /** Chance of just these looks, given what the proofs settled. */
  readonly evidence: number;
  /** Of each look that was ticked, by index, the chance that no fault has brought it. */
  readonly byItself: ReadonlyMap<number, number>;
}

/** The chance of every fault given what was ticked, exactly. */
export function judge(ticked: Ticked, net: NoisyOr): Judgement {
  const { chances, ...rest } = noisyOrPosterior(net, evidenceOf(ticked));
  const judged = FAULTS.map((fault, at) => ({ fault, chance: chances[at] ?? 0 }));
  return { net, ticked, judged, ...rest };
}

/** The looks that were ticked and that, with at least this chance, no fault of the list has brought. */
export function unexplained({ byItself }: Judgement, from: number): string[] {
  return LOOKS.filter((_, at) => (byItself.get(at) ?? 0) >= from);
}

/**
 * The faults that something ticked speaks for and that are likely enough to be in question or certain.
 * That a fault is common in the shop puts it in question nowhere by itself.
 */
export function likely({ judged, ticked }: Judgement, values: FaultValues): Judged {
  return judged.filter(
    ({ fault, chance }) =>
      chance >= values.listedFrom &&
      ticked.seen.some((id) => id === fault.proof || likelihood(fault, id, values) > 0),
  );
}

/** How much is in doubt about something with this chance, in bits (Shannon 1948). */
export function doubtBits(chance: number): number {
  return [chance, 1 - chance].reduce((sum, p) => sum - (p > 0 ? p * Math.log2(p) : 0), 0);
}

/** How likely a check comes out positive, and the chance of every fault after either answer. */
export interface Foreseen {
  readonly yes: number;
  readonly after: readonly { readonly ifYes: number; readonly ifNo: number }[];
}

/**
 * What an answer would change. A proof comes out as its fault is, a look by the signs of all faults.
 * What a negative answer leaves follows from the positive one, since both together give what is known.
 */
export function foresee(sign: string, { net, ticked, judged, evidence }: Judgement): Foreseen {
  const found = judge({ ...ticked, seen: [...ticked.seen, sign] }, net);
  const proven = provenBy(sign);
  const yes =
    proven === undefined
      ? found.evidence / evidence
      : (judged.find(({ fault }) => fault === proven)?.chance ?? 0);
  return {
    yes,
    after: judged.map(({ chance }, at) => {
      const ifYes = found.judged[at]?.chance ?? 0;
      const rest = yes < 1 ? (chance - yes * ifYes) / (1 - yes) : chance;
      return { ifYes, ifNo: Math.min(1, Math.max(0, rest)) };
    }),
  };
}
