import { dayIn } from '../../domain/calendar/zone.ts';
import { faultOf } from '../../domain/faults/fault-rows.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import type { TopTraits } from '../../domain/faults/top-traits.ts';
import { signOf } from '../../domain/faults/signs.ts';
import { invalid, Refused } from '../../domain/refusal.ts';
import { faultCounts } from '../../store/visits/finding-rows.ts';
import { topsOnCars } from '../../store/tops/top-rows.ts';
import { ownCar } from '../own/car-records.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { topRecord, type TopRecord } from '../own/top-records.ts';
import type { VisitRecord } from '../own/visit-records.ts';
import { type Voice, voiceFor } from '../../views/words/voice.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { type NewFinding, recordVisit } from '../visits/record-visit.ts';
import { answered, type FaultFindingRecord, type FaultQuestion } from './find-faults.ts';

/** Fault finding at one car: its top says what it can have, its verdict what may be asked. */
export interface CarFaults {
  readonly car: { readonly id: string; readonly registration: string; readonly timeZone: string };
  /** Null while no top is recorded for the car. */
  readonly top: TopRecord | null;
  readonly found: FaultFindingRecord;
}

type CarQuestion = Omit<FaultQuestion, 'top'>;

/** What is wrong with a car's top, from the signs ticked and what is recorded of it. */
export async function findCarFaults(
  context: Context,
  caller: Caller,
  carId: string,
  question: CarQuestion,
  joints: Readonly<Record<string, readonly string[]>> = {},
): Promise<CarFaults> {
  const { sql, records } = context.store;
  const { organisationId } = caller;
  const { id, registration, timeZone } = await ownCar(records, caller, carId);
  const [row] = await topsOnCars(sql, [carId]);
  const top = row === undefined ? null : await topRecord(sql, row, context.now());
  const own = await ownFiguresOf(sql, organisationId);
  const found = answered(
    { ...question, top: top === null ? undefined : traitsOf(top) },
    await faultCounts(sql, organisationId),
    own,
    top?.mayMove.verdict === 'leave',
    top === null ? {} : jointsOn(top, joints),
  );
  return { car: { id, registration, timeZone }, top, found };
}

/** What the record of a top says about the faults that it can have. */
export function traitsOf({ cover, window, powered }: TopRecord): TopTraits {
  return {
    material: cover.material as TopTraits['material'],
    window: window as TopTraits['window'],
    powered,
  };
}

/** The joints of a top by their codes, with their kinds; codes that it does not have are left out. */
export function jointsOn(
  { pivots }: Pick<TopRecord, 'pivots'>,
  byFault: Readonly<Record<string, readonly string[]>>,
) {
  return Object.fromEntries(
    Object.entries(byFault).map(([fault, codes]) => [
      fault,
      pivots.flatMap(({ code, kind }) =>
        codes.includes(code) ? [{ code, kind: kind as PivotKind }] : [],
      ),
    ]),
  );
}

/** The work that is taken over from the plan. */
export interface PlanChoice extends CarQuestion {
  /** Faults by id, with the codes of the joints they were found at. */
  readonly work: readonly {
    readonly fault: string;
    readonly pivots?: readonly string[] | undefined;
  }[];
  /** The owner has agreed to it, so its parts are ordered. */
  readonly accepted: boolean;
  /** Write the owner a report of what was found. */
  readonly tellOwner: boolean;
}

/**
 * Records what the fault finding came to as a look of today: a finding for each fault, at each joint
 * that has it, with the work advised. So the verdict on moving the top, the calls and, where the owner
 * has agreed, the parts to order follow at once. Only causes that are proven or stand clear are taken,
 * and what is found at a joint names the joint. It is written down in the organisation's language.
 */
export async function planWork(
  context: Context,
  caller: Caller,
  carId: string,
  { work, accepted, tellOwner, ...question }: PlanChoice,
): Promise<VisitRecord> {
  const { car, top, found } = await findCarFaults(context, caller, carId, question);
  if (top === null) {
    const detail = 'No top is recorded for this car. Record its top first.';
    throw new Refused({ kind: 'conflict', detail });
  }
  if (work.length === 0) throw invalid('#/work', 'Choose some of the work.');
  const { language } = await showOrganisation(context, caller);
  const { tell } = voiceFor(language);
  const findings = work.flatMap(({ fault, pivots = [] }, i) => {
    const remedy = found.remedies.find((one) => one.fault === fault);
    if (remedy === undefined) {
      const name = faultOf(fault)?.item ?? fault;
      const detail = `"${name}" is not proven and does not stand clear. Make the next check first.`;
      throw invalid(`#/work/${i}/fault`, detail);
    }
    const step = found.plan.steps.find((one) => one.fault === fault);
    if (step?.byJoint === true && pivots.length === 0 && top.pivots.length > 0) {
      const detail = `Say at which joint it was found: ${remedy.name}.`;
      throw invalid(`#/work/${i}/pivots`, detail);
    }
    return (pivots.length === 0 ? [undefined] : pivots).map((pivot): NewFinding => {
      const sure = remedy.standing === 'proven' ? 'proven' : 'likely, to be proven first';
      return {
        fault,
        pivot,
        text: tell(`${remedy.name} (${sure})`),
        advised: tell(remedy.text),
        outcome: accepted ? 'accepted' : 'advised',
      };
    });
  });
  const chosen = new Set(work.map(({ fault }) => fault));
  const cured = found.plan.steps
    .filter(({ fault }) => chosen.has(fault))
    .flatMap(({ also }) => also.filter(({ fault }) => !chosen.has(fault)))
    .map(({ fault, name }) => ({
      fault,
      text: tell(name),
      advised: tell('comes with the new cover'),
    }));
  const today = dayIn(car.timeZone, context.now());
  const visit = {
    kind: 'look',
    doneOn: today,
    findings: [...findings, ...cured],
    notes: notesOf(question, tell),
  } as const;
  return recordVisit(context, caller, top.id, visit, { tell: tellOwner });
}

/** What was seen and what was not, as it is read again later. */
function notesOf({ seen, ruledOut = [] }: CarQuestion, tell: Voice['tell']): string {
  const words = (ids: readonly string[]) => ids.map((id) => tell(signOf(id)?.text ?? id));
  return tell(whatWasLookedAt(words(seen), words(ruledOut))).slice(0, 4000);
}

/** "Fault finding. Seen: a seam opens." with what was not found where something was. */
function whatWasLookedAt(seen: readonly string[], not: readonly string[]): string {
  const found = `Fault finding. Seen: ${seen.join(', ')}.`;
  return not.length === 0 ? found : `${found} Looked for and not found: ${not.join(', ')}.`;
}
