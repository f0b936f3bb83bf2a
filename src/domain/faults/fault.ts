import type { Mark } from '../figures/figure.ts';
import type { Likelihood } from './fault-figures.ts';

/**
 * One fault that an inspection may find. Findings of a visit carry its id.
 *
 * `sign` and `proof` are sign ids: what is seen first, and the check that settles it. Both are taken
 * as almost always there when the fault is, unless `signs` says otherwise; `signs` names the
 * other signs that the fault brings along and how likely they are.
 */
export interface Fault {
  readonly id: string;
  readonly item: string;
  readonly sign: string;
  readonly means: string;
  readonly proof: string;
  readonly remedy: string;
  readonly mustNot: string;
  readonly mark: Mark;
  readonly source: string;
  /** Mark of the proof where it differs from that of the row. */
  readonly proofMark?: Mark;
  readonly signs: Readonly<Record<string, Likelihood>>;
}

/** A fault before its mark is filled in: most rest on the settled habit of the trade. */
export type FaultRow = Omit<Fault, 'mark' | 'source'> & Partial<Pick<Fault, 'mark' | 'source'>>;

/** Fills in the mark that most rows share. */
export function fault(row: FaultRow): Fault {
  return { mark: 'common practice, no source', source: 'settled habit of the trade', ...row };
}
