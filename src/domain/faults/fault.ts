import type { Mark } from '../figures/figure.ts';
import type { Likelihood } from './fault-figures.ts';

/** Where what is said comes from. */
export interface Said {
  readonly mark: Mark;
  readonly source: string;
}

/** A number inside the words of a fault or its proof, as it stands there, with a mark of its own. */
export interface SaidNumber extends Said {
  readonly text: string;
}

/**
 * One fault that an inspection may find. Findings of a visit carry its id.
 *
 * `sign` and `proof` are sign ids: what is seen first, and the check that settles it. Both are taken
 * as almost always there when the fault is, unless `signs` says otherwise; `signs` names the
 * other signs that the fault brings along and how likely they are.
 */
export interface Fault extends Said {
  readonly id: string;
  readonly item: string;
  readonly sign: string;
  readonly means: string;
  readonly proof: string;
  readonly remedy: string;
  readonly mustNot: string;
  /** Of the proof; `mark` and `source` are those of sign, meaning, remedy and what must not be done. */
  readonly proofSaid: Said;
  readonly numbers: readonly SaidNumber[];
  readonly signs: Readonly<Record<string, Likelihood>>;
}

/** A fault before its marks are filled in: most rest on the settled habit of the trade. */
export type FaultRow = Omit<Fault, 'mark' | 'source' | 'proofSaid' | 'numbers'> &
  Partial<Pick<Fault, 'mark' | 'source' | 'numbers'>> & {
    /** Where the proof was looked up nowhere although the row is settled habit. */
    readonly proofMark?: 'from memory';
  };

/** Of what one source alone says, and nobody can look up. */
export function onceTold(where: string): Said {
  return { mark: 'from memory', source: `${where}; no copy is kept to be named` };
}

/** Of what several say alike, none of whom is an authority that can be named. */
export function toldAlike(who: string): Said {
  return { mark: 'common practice, no source', source: `${who} say so alike` };
}

/** Where what is said of a fault comes from, in words: "common practice, no source; its proof from memory". */
export function saidInWords({ mark, proofSaid, numbers }: Fault): string {
  const others = new Map<string, string[]>();
  for (const one of numbers.filter((number) => number.mark !== mark)) {
    others.set(one.mark, [...(others.get(one.mark) ?? []), one.text]);
  }
  return [
    mark,
    ...(proofSaid.mark === mark ? [] : [`its proof ${proofSaid.mark}`]),
    ...[...others].map(([other, texts]) => `${texts.join(' and ')} ${other}`),
  ].join('; ');
}

/** What must not be done with a fault, as a sentence: "Do not renew the cable alone." */
export function forbidden(mustNot: string): string {
  return `Do not ${mustNot}.`;
}

/** Fills in the marks that most rows share. */
export function fault({ proofMark, ...row }: FaultRow): Fault {
  const said: Said = {
    mark: row.mark ?? 'common practice, no source',
    source: row.source ?? 'settled habit of the trade',
  };
  return {
    numbers: [],
    ...row,
    ...said,
    proofSaid: proofMark === undefined ? said : { mark: proofMark, source: 'no source looked up' },
  };
}
