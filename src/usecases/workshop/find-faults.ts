import type { Wording } from '../../domain/advice/advice.ts';
import { atTop, cautionsFor } from '../../domain/cautions/cautions.ts';
import { FAULTS } from '../../domain/faults/fault-rows.ts';
import type { Said, SaidNumber } from '../../domain/faults/fault.ts';
import { worksOf } from '../../domain/faults/fault-works.ts';
import type { FaultAnswer } from '../../domain/faults/find.ts';
import type { OwnFindings, Ticked } from '../../domain/faults/judgement.ts';
import type { NextCheck } from '../../domain/faults/next-check.ts';
import { SIGNS } from '../../domain/faults/signs.ts';
import type { TopTraits } from '../../domain/faults/top-traits.ts';
import type {
  PlanKnown,
  NamedFault,
  PlannedPart,
  PlannedWork,
  WorkPlan,
} from '../../domain/faults/work-plan.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import type { Mark } from '../../domain/figures/figure.ts';
import { faultCounts } from '../../store/visits/finding-rows.ts';
import type { CautionRecord } from './caution-record.ts';
import { cautionRecordOf } from './caution-record.ts';
import type { Caller, Context } from '../context/context.ts';
import { answerTo, planFor } from '../rules/fault-finding.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

export interface SignRecord {
  readonly id: string;
  /** Where on the car it is met, in the order of an inspection. */
  readonly place: string;
  readonly text: string;
  /** How the check is done; null for what is seen at a look. */
  readonly how: string | null;
  /** Whether the top has to be moved for it. */
  readonly moves: boolean;
}

/** Everything that can be ticked, in the order in which an inspection walks. */
export function listSigns(): SignRecord[] {
  return SIGNS.map(({ id, place, text, how = null, moves = false }) => ({
    id,
    place,
    text,
    how,
    moves,
  }));
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
  /** Where the proof comes from; the mark above is that of all else. */
  readonly proofSaid: Said;
  /** Numbers inside these words that have a mark of their own. */
  readonly numbers: SaidNumber[];
}

/** Every fault that a finding can name. */
export function listFaults(): FaultRecord[] {
  return FAULTS.map(({ numbers, proofSaid, ...row }) => ({
    id: row.id,
    item: row.item,
    sign: row.sign,
    means: row.means,
    proof: row.proof,
    remedy: row.remedy,
    mustNot: row.mustNot,
    mark: row.mark,
    source: row.source,
    proofSaid,
    numbers: [...numbers],
  }));
}

export interface PlannedWorkRecord extends Omit<PlannedWork, 'joints' | 'parts' | 'also'> {
  readonly also: NamedFault[];
  readonly joints: string[];
  readonly parts: PlannedPart[];
}

export interface WorkPlanRecord {
  readonly steps: PlannedWorkRecord[];
  readonly later: NamedFault[];
  readonly strippingHours: number;
  readonly hours: number;
  readonly parts: PlannedPart[];
}

type Listed = 'causes' | 'ruledOut' | 'unexplained' | 'alsoLook' | 'remedies';

export interface FaultFindingRecord extends Omit<
  FaultAnswer,
  Listed | 'contradictions' | 'nextCheck' | 'mustNot' | 'stays' | 'warnings'
> {
  readonly causes: FaultAnswer['causes'][number][];
  readonly ruledOut: FaultAnswer['ruledOut'][number][];
  readonly unexplained: FaultAnswer['unexplained'][number][];
  readonly alsoLook: FaultAnswer['alsoLook'][number][];
  readonly remedies: FaultAnswer['remedies'][number][];
  readonly contradictions: string[];
  readonly nextCheck:
    | (Omit<NextCheck, 'separates'> & { readonly separates: { yes: string[]; no: string[] } })
    | null;
  readonly mustNot: string[];
  readonly stays: string[];
  readonly warnings: string[];
  readonly plan: WorkPlanRecord;
  readonly first: Wording;
  readonly cautions: CautionRecord[];
}

/** The signs ticked, those looked for in vain, and what is known of the top without its record. */
export interface FaultQuestion extends Ticked {
  readonly skipped?: readonly string[] | undefined;
  readonly top?: TopTraits | undefined;
}

/**
 * What is wrong, from the signs ticked: the causes each by itself, the check that tells most, the work
 * in its order, and what must not be done, with the cautions for the work that follows. Chances start
 * from the organisation's own findings once there are enough of them.
 */
export async function findCauses(
  context: Context,
  caller: Caller,
  question: FaultQuestion,
): Promise<FaultFindingRecord> {
  const { sql } = context.store;
  const own = await ownFiguresOf(sql, caller.organisationId);
  return answered(question, await faultCounts(sql, caller.organisationId), own, false);
}

/** The same from what is known already. `mustStay`: the verdict on the car forbids moving its top. */
export function answered(
  { seen, ruledOut = [], skipped, top }: FaultQuestion,
  found: OwnFindings,
  own: OwnFigures,
  mustStay: boolean,
  joints: PlanKnown['joints'] = {},
): FaultFindingRecord {
  const answer = answerTo({ seen, ruledOut }, { own: found, top, skipped, mustStay }, own);
  const { first, cautions } = cautionsFor(...worksOf(answer.causes.map(({ id }) => id)));
  const { nextCheck } = answer;
  return {
    ...answer,
    causes: [...answer.causes],
    ruledOut: [...answer.ruledOut],
    unexplained: [...answer.unexplained],
    alsoLook: [...answer.alsoLook],
    remedies: [...answer.remedies],
    contradictions: [...answer.contradictions],
    nextCheck: nextCheck && {
      ...nextCheck,
      separates: { yes: [...nextCheck.separates.yes], no: [...nextCheck.separates.no] },
    },
    mustNot: [...answer.mustNot],
    stays: [...answer.stays],
    warnings: [...answer.warnings],
    plan: planRecordOf(
      planFor(answer, { top, joints, mustStay: mustStay || answer.leaveIt !== null }, own),
    ),
    first,
    cautions: atTop(cautions, top?.powered).map(cautionRecordOf),
  };
}

/** A plan as the API sends it. */
export function planRecordOf({
  steps,
  later,
  strippingHours,
  hours,
  parts,
}: WorkPlan): WorkPlanRecord {
  return {
    steps: steps.map((step) => ({
      ...step,
      also: [...step.also],
      joints: [...step.joints],
      parts: [...step.parts],
    })),
    later: [...later],
    strippingHours,
    hours,
    parts: [...parts],
  };
}
