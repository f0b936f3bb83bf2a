import type { Wording } from '../../domain/advice/advice.ts';
import { cautionsFor } from '../../domain/cautions/cautions.ts';
import { FAULTS } from '../../domain/faults/fault-rows.ts';
import { worksOf } from '../../domain/faults/fault-works.ts';
import type { LikelyCause, Ticked } from '../../domain/faults/find.ts';
import { SIGNS } from '../../domain/faults/signs.ts';
import type { Mark } from '../../domain/figures/figure.ts';
import { faultCounts } from '../../store/visits/finding-rows.ts';
import type { CautionRecord } from './caution-record.ts';
import { cautionRecordOf } from './caution-record.ts';
import type { Caller, Context } from '../context/context.ts';
import { answerTo } from '../rules/fault-finding.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

export interface SignRecord {
  readonly id: string;
  /** Where on the car it is met, in the order of an inspection. */
  readonly place: string;
  readonly text: string;
  /** How the check is done; null for what is seen at a look. */
  readonly how: string | null;
}

/** Everything that can be ticked, in the order in which an inspection walks. */
export function listSigns(): SignRecord[] {
  return SIGNS.map(({ id, place, text, how = null }) => ({ id, place, text, how }));
}

export interface FaultRecord {
  readonly id: string;
  readonly item: string;
  readonly sign: string;
  readonly means: string;
  readonly proof: string;
  readonly remedy: string;
  readonly mustNot: string;
  readonly mark: Mark;
  readonly source: string;
}

/** Every fault that a finding can name. */
export function listFaults(): FaultRecord[] {
  return FAULTS.map(({ id, item, sign, means, proof, remedy, mustNot, mark, source }) => ({
    id,
    item,
    sign,
    means,
    proof,
    remedy,
    mustNot,
    mark,
    source,
  }));
}

export interface FaultFindingRecord {
  readonly causes: LikelyCause[];
  readonly nextCheck: {
    readonly id: string;
    readonly text: string;
    readonly result: string;
    readonly gainBits: number;
    readonly separates: { readonly yes: string[]; readonly no: string[] };
  } | null;
  readonly remedy: string | null;
  readonly mustNot: string[];
  readonly warnings: string[];
  readonly priors: 'equal' | 'own findings';
  readonly first: Wording;
  readonly cautions: CautionRecord[];
}

/**
 * The likely causes of the signs ticked, the check that tells most, and what must not be done, with
 * the cautions for the work that follows. Chances start from the organisation's own findings once
 * there are enough of them.
 */
export async function findCauses(
  context: Context,
  caller: Caller,
  ticked: Ticked,
): Promise<FaultFindingRecord> {
  const { sql } = context.store;
  const answer = answerTo(
    ticked,
    await faultCounts(sql, caller.organisationId),
    await ownFiguresOf(sql, caller.organisationId),
  );
  const { first, cautions } = cautionsFor(...worksOf(answer.causes.map(({ id }) => id)));
  const { nextCheck } = answer;
  return {
    ...answer,
    causes: [...answer.causes],
    nextCheck: nextCheck && {
      ...nextCheck,
      separates: { yes: [...nextCheck.separates.yes], no: [...nextCheck.separates.no] },
    },
    mustNot: [...answer.mustNot],
    warnings: [...answer.warnings],
    first,
    cautions: cautions.map(cautionRecordOf),
  };
}
