import { type Companion, companionsOf } from './companions.ts';
import { MOVE_FINDINGS } from '../may-move/move-findings.ts';
import { valuesOf } from '../figures/figure.ts';
import { FAULT_FIGURES } from './fault-figures.ts';
import type { Fault } from './fault.ts';
import { HYDRAULIC_FAULTS } from './hydraulic-faults.ts';
import type { FaultValues, Judged, OwnFindings, Ticked } from './judgement.ts';
import {
  countsOwn,
  judge,
  likelihood,
  likely,
  networkOf,
  NO_FINDINGS,
  provenBy,
  unexplained,
} from './judgement.ts';
import type { Asking, NextCheck } from './next-check.ts';
import { mayAsk, nextCheck } from './next-check.ts';
import { signOf } from './signs.ts';
import type { TopTraits } from './top-traits.ts';
import { warningsFor } from './wrong-sales.ts';

/** How sure a cause is: its proof was found, its chance says so, or neither yet. */
export type CauseStanding = 'proven' | 'clear' | 'in question';

export interface LikelyCause {
  readonly id: string;
  readonly name: string;
  /** 0 to 1 for itself: several faults may be there at once, so they need not sum to 1. */
  readonly chance: number;
  readonly standing: CauseStanding;
  /** Ids of the looks that were ticked and that it brings, and of those it often brings, looked for in vain. */
  readonly fits: readonly string[];
  readonly against: readonly string[];
  /** The same in words, with its proof where that was found and what it comes from. */
  readonly why: string;
}

/** What to do about a cause that is proven or stands clear. */
export interface Remedy {
  readonly fault: string;
  readonly name: string;
  readonly standing: Exclude<CauseStanding, 'in question'>;
  readonly text: string;
  readonly mustNot: string;
  /** The check that would prove it, how it is done; null where it was found. */
  readonly proveFirst: string | null;
}

export interface FaultAnswer {
  readonly causes: readonly LikelyCause[];
  /** Causes whose proof was looked for and not found. */
  readonly ruledOut: readonly { readonly id: string; readonly name: string }[];
  /** Signs that no cause of the list explains well, by id and words. */
  readonly unexplained: readonly { readonly id: string; readonly text: string }[];
  /** Ticks that cannot both be right, in words. */
  readonly contradictions: readonly string[];
  readonly nextCheck: NextCheck | null;
  /** Checks of what often comes with the causes that are proven. */
  readonly alsoLook: readonly Companion[];
  /** The remedy of the first cause, once it is proven or stands clear. */
  readonly remedy: string | null;
  readonly remedies: readonly Remedy[];
  readonly mustNot: readonly string[];
  /** Why the top is to be left as it stands meanwhile, in words; null where nothing speaks for that. */
  readonly leaveIt: string | null;
  /** Ids of the causes that speak for that. */
  readonly stays: readonly string[];
  /** What comes first with a powered top that may be stuck, in words; null where it is none, or must stay. */
  readonly ifStuck: string | null;
  readonly warnings: readonly string[];
  /** Where the chances before any sign came from. */
  readonly priors: 'equal' | 'own findings';
}

export interface FaultRefusal {
  readonly refused: string;
  readonly signs: readonly string[];
}

/** What is known besides the signs. */
export interface KnownBefore {
  readonly own?: OwnFindings | undefined;
  readonly top?: TopTraits | undefined;
  /** Checks that cannot be made now. */
  readonly skipped?: readonly string[] | undefined;
  /** The verdict on the car says to leave the top as it is. */
  readonly mustStay?: boolean | undefined;
}

/** Pairs of checks that cannot both be positive. Common practice, no source. */
const CONTRADICTIONS: readonly (readonly [string, string])[] = [
  ['cloth-stays-up', 'fits-when-warm'],
];

/**
 * What is wrong, from the signs ticked: every fault by itself with its exact chance (independent
 * faults, leaky noisy-or signs), so several may be there at once. A proof found makes its fault
 * certain, one tried in vain rules it out. A remedy is named only of a cause that is proven or stands
 * clear (shop rule); the warning of a wrong sale always. The next check is the one that takes away most
 * doubt a minute; none that moves the top while it has to stay. As long as nothing is seen there are no
 * causes and nothing to advise. All numbers: shop rules.
 *
 * Refused, by name: signs that do not exist, and signs both seen and ruled out.
 */
export function findFaults(
  ticked: Ticked,
  known: KnownBefore = {},
  values: FaultValues = valuesOf(FAULT_FIGURES),
): FaultAnswer | FaultRefusal {
  const seen = new Set(ticked.seen);
  const not = new Set(ticked.ruledOut);
  const skipped = new Set(known.skipped);
  const unknown = [...seen, ...not, ...skipped].filter((id) => signOf(id) === undefined);
  if (unknown.length > 0) return { refused: 'these signs do not exist', signs: unknown };
  const both = [...seen].filter((id) => not.has(id));
  if (both.length > 0) return { refused: 'these signs are both seen and ruled out', signs: both };

  const own = known.own ?? NO_FINDINGS;
  const priors = countsOwn(own, values) ? 'own findings' : 'equal';
  if (seen.size === 0) return { ...NOTHING_SEEN, priors };
  const judgement = judge(ticked, networkOf({ own, top: known.top ?? {}, values }));
  const { judged } = judgement;
  const causes = listed(likely(judgement, values), seen, not, values);
  const stays = causes.filter(
    ({ id, chance }) => MOVE_FINDINGS[id] === 'leave' && chance >= values.stayFrom,
  );
  const asking = {
    skipped,
    mustStay: known.mustStay === true || stays.length > 0,
    gently: new Set(known.mustStay === true ? [] : stays.map(({ id }) => id)),
  };
  const faultOf = new Map(judged.map(({ fault }) => [fault.id, fault]));
  const remedies = causes.flatMap(({ id, standing }) => {
    const fault = faultOf.get(id);
    return fault === undefined || standing === 'in question'
      ? []
      : [remedyOf(fault, standing, asking)];
  });
  return {
    causes,
    ruledOut: judged
      .filter(({ fault }) => not.has(fault.proof))
      .map(({ fault: { id, item } }) => ({ id, name: item })),
    unexplained: unexplained(judgement, values.unexplainedFrom).map((id) => ({
      id,
      text: textOf(id),
    })),
    contradictions: CONTRADICTIONS.filter((pair) => pair.every((id) => seen.has(id))).map(
      ([a, b]) => `These two cannot both be: ${textOf(a)}; ${textOf(b)}. Try the first again.`,
    ),
    nextCheck: nextCheck(judgement, asking, values),
    alsoLook: companionsOf(judgement, asking, values.listedFrom),
    remedy: remedies[0]?.fault === causes[0]?.id ? (remedies[0]?.text ?? null) : null,
    remedies,
    mustNot: causes.flatMap(({ id, chance }, at) =>
      at === 0 || chance >= values.mustNotFrom ? [faultOf.get(id)?.mustNot ?? ''] : [],
    ),
    leaveIt: leaveWords(stays, known.top?.powered),
    stays: stays.map(({ id }) => id),
    ifStuck: asking.mustStay || !isPowered(causes, values.stayFrom) ? null : IF_STUCK,
    warnings: warningsFor(seen, (id) => chanceIn(judged, id), values),
    priors,
  };
}

const NOTHING_SEEN = {
  causes: [],
  ruledOut: [],
  unexplained: [],
  contradictions: [],
  nextCheck: null,
  alsoLook: [],
  remedy: null,
  remedies: [],
  mustNot: [],
  leaveIt: null,
  stays: [],
  ifStuck: null,
  warnings: [],
} as const;

/** Proven causes first, then by chance, the order of the list deciding between equals. */
function listed(
  judged: Judged,
  seen: ReadonlySet<string>,
  not: ReadonlySet<string>,
  values: FaultValues,
): LikelyCause[] {
  return judged
    .toSorted((a, b) => b.chance - a.chance)
    .map(({ fault, chance }) => {
      const grounds = {
        fits: [...seen].filter((id) => likelihood(fault, id, values) > 0),
        against: [...not].filter(
          (id) => provenBy(id) === undefined && likelihood(fault, id, values) >= values.often,
        ),
      };
      const isProven = seen.has(fault.proof);
      return {
        id: fault.id,
        name: fault.item,
        chance,
        standing: isProven ? 'proven' : chance >= values.clearFrom ? 'clear' : 'in question',
        ...grounds,
        why: reason(fault, isProven, grounds),
      };
    });
}

function remedyOf(fault: Fault, standing: Remedy['standing'], asking: Asking): Remedy {
  const proof = signOf(fault.proof);
  const mayProve = proof !== undefined && mayAsk(proof, asking);
  return {
    fault: fault.id,
    name: fault.item,
    standing,
    text: fault.remedy,
    mustNot: fault.mustNot,
    proveFirst: standing === 'proven' ? null : mayProve ? (proof.how ?? null) : PROOF_WAITS,
  };
}

const PROOF_WAITS = 'leave it for now; it can only be proven once the top may be moved again';

// Of a top that is folded by hand nothing is said of a motor; where nobody knows, it is said of which.
const MOTOR_RESTS: Readonly<Record<string, string>> = {
  true: ' and do not run its motor',
  false: '',
  undefined: ', and where it has a motor, do not run that,',
};

function leaveWords(stays: readonly LikelyCause[], powered: boolean | undefined): string | null {
  if (stays.length === 0) return null;
  const names = stays.map(({ name, standing }) =>
    standing === 'proven' ? `${name} found` : `${name} in question`,
  );
  return (
    `Leave the top as it stands, raised or folded: ${names.join(', ')}. ` +
    `Do not force it${MOTOR_RESTS[String(powered)] ?? ''} until that is ruled out or mended.`
  );
}

const IF_STUCK =
  'If it stands half way or has to be shut now, the emergency procedure of its handbook comes first: ' +
  'motor off, two people. Never reach into a top that stands half way: it can move or sink by itself, ' +
  'and its lines may be under pressure.';
const POWERED: ReadonlySet<string> = new Set(HYDRAULIC_FAULTS.map(({ id }) => id));

function isPowered(causes: readonly LikelyCause[], from: number): boolean {
  return causes.some(({ id, chance }) => POWERED.has(id) && chance >= from);
}

function chanceIn(judged: Judged, id: string): number {
  return judged.find(({ fault }) => fault.id === id)?.chance ?? 0;
}

function reason(
  { proof, means }: Fault,
  isProven: boolean,
  { fits, against }: Pick<LikelyCause, 'fits' | 'against'>,
): string {
  const parts = [
    ...(isProven ? [`proven: ${textOf(proof)}`] : []),
    means,
    ...(fits.length > 0 ? [`fits: ${texts(fits)}`] : []),
    ...(against.length > 0 ? [`against it: not found that ${texts(against)}`] : []),
  ];
  return parts.join('; ');
}

function texts(ids: readonly string[]): string {
  return ids.map(textOf).join(', and ');
}

function textOf(id: string): string {
  return signOf(id)?.text ?? id;
}
