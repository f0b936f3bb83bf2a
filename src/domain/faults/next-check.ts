import type { FaultValues, Judged, Judgement } from './judgement.ts';
import { doubtBits, foresee, likelihood, likely, provenBy } from './judgement.ts';
import type { Effort, Sign } from './signs.ts';
import { SIGNS } from './signs.ts';

export interface NextCheck {
  /** Sign id: tick it if the check turns out as `result` says, else rule it out. */
  readonly id: string;
  /** What to do. */
  readonly text: string;
  /** What is seen if the check is positive. */
  readonly result: string;
  /** What it takes (shop rule). */
  readonly minutes: number;
  /** Doubt about the causes in question that its answer is expected to take away. */
  readonly gainBits: number;
  /** Ids of the causes in question that a positive and a negative answer speak for. */
  readonly separates: { readonly yes: readonly string[]; readonly no: readonly string[] };
}

/** What may be asked of this top. */
export interface Asking {
  /** Signs that cannot be looked for now. */
  readonly skipped: ReadonlySet<string>;
  /** Nothing may be asked that moves the top. */
  readonly mustStay: boolean;
  /** Faults whose own proof may be tried by hand, although the top should stay. */
  readonly gently: ReadonlySet<string>;
}

// More causes in doubt than this and the answer is to look further, not to weigh every check.
const MOST_IN_DOUBT = 12;
// A change of chance too small to call an answer speaking for a cause.
const SPEAKS = 0.02;

/**
 * The open check that takes away most doubt a minute among the causes in question, those listed and
 * not yet certain; null where none is worth the walk. Doubt is the sum over them of their entropy.
 */
export function nextCheck(
  judgement: Judgement,
  asking: Asking,
  values: FaultValues,
): NextCheck | null {
  const { ticked } = judgement;
  const inQuestion = likely(judgement, values).filter(({ chance }) => chance < 1);
  const answered = new Set([...ticked.seen, ...(ticked.ruledOut ?? []), ...asking.skipped]);
  const mostInDoubt = inQuestion
    .toSorted((a, b) => doubtBits(b.chance) - doubtBits(a.chance))
    .slice(0, MOST_IN_DOUBT);
  const candidates = SIGNS.filter(
    (sign) => !answered.has(sign.id) && mayAsk(sign, asking) && concerns(sign, mostInDoubt, values),
  );
  let best: NextCheck | null = null;
  for (const sign of candidates) {
    const one = weighed(sign, judgement, inQuestion, values);
    const better = best === null || one.gainBits / one.minutes > best.gainBits / best.minutes;
    if (one.gainBits >= values.leastGainBits && better) best = one;
  }
  return best;
}

/** Whether a top that may have to stay may be asked for this. */
export function mayAsk({ id, moves }: Sign, { mustStay, gently }: Asking): boolean {
  if (moves !== true || !mustStay) return true;
  const proven = provenBy(id);
  return proven !== undefined && gently.has(proven.id);
}

function concerns(sign: Sign, inQuestion: Judged, values: FaultValues): boolean {
  const proven = provenBy(sign.id);
  return inQuestion.some(({ fault }) =>
    proven === undefined ? likelihood(fault, sign.id, values) > 0 : fault === proven,
  );
}

function weighed(sign: Sign, judgement: Judgement, among: Judged, values: FaultValues): NextCheck {
  const { yes, after } = foresee(sign.id, judgement);
  const proven = provenBy(sign.id);
  const inQuestion = judgement.judged.flatMap((one, at) =>
    among.includes(one) ? [{ id: one.fault.id, chance: one.chance, ...after[at]! }] : [],
  );
  const gainBits = inQuestion.reduce(
    (sum, { chance, ifYes, ifNo }) =>
      sum + doubtBits(chance) - yes * doubtBits(ifYes) - (1 - yes) * doubtBits(ifNo),
    0,
  );
  return {
    id: sign.id,
    text: askedIn(sign),
    result: sign.text,
    minutes: minutesOf(sign.effort, values),
    gainBits: Math.max(0, gainBits),
    separates: {
      yes: inQuestion.flatMap(({ id, chance, ifYes }) =>
        ifYes > chance + SPEAKS || id === proven?.id ? [id] : [],
      ),
      no: inQuestion.flatMap(({ id, chance, ifNo }) => (ifNo > chance + SPEAKS ? [id] : [])),
    },
  };
}

/** What to do or ask, in words. Some signs are told as a sentence and some as a thing: both stand here. */
export function askedIn({ how, asked, text }: Sign): string {
  return how ?? `${asked === true ? 'ask the owner about' : 'look for'} this sign: ${text}`;
}

function minutesOf(effort: Effort, values: FaultValues): number {
  return values[`${effort}Minutes`];
}
