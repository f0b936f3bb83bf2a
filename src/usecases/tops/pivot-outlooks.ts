import type { Day } from '../../domain/calendar/day.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import type { PivotOutlook } from '../../domain/parts/chance-of-need.ts';
import { pivotVerdicts } from '../../domain/pivots/pivot-reports.ts';
import type { PivotRecord } from '../../domain/pivots/series.ts';
import { standing } from '../../domain/pivots/series.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { JointsOfCars } from './joint-facts.ts';
import type { WearPriors } from '../own/wear-priors.ts';
import { chanceOfFindingLoss } from './washer-histories.ts';

/** What is known today of each pivot of a car, for a visit on a day to come. */
export function pivotOutlooks(
  { joints, frames, lives }: JointsOfCars,
  carId: string,
  today: Day,
  on: Day,
  { own, priors }: { readonly own: OwnFigures; readonly priors: WearPriors },
): PivotOutlook[] {
  const onCar = joints.get(carId) ?? [];
  const frame = frames.get(carId);
  const records = onCar.map(({ pivot }) => pivot.record);
  const priorOf = frame === undefined ? undefined : priors(frame.framePattern, carId);
  const verdicts = pivotVerdicts(records, { today, figures: figuresFor('pivots', own), priorOf });
  return onCar.map(({ pivot: { record }, washers }, i) => {
    const now = standing(record, today);
    const judged = now.states.length + now.washers.length + now.readings.length > 0;
    const loss =
      frame === undefined ? null : chanceOfFindingLoss(washers.inPlace, frame, lives, on);
    return {
      code: record.code,
      kind: record.kind,
      washersExpected: record.washersExpected,
      washersPresent: now.washers.at(-1)?.present,
      state: now.states.at(-1)?.state,
      verdict: judged ? verdicts[i] : undefined,
      washerLossChance: loss ?? undefined,
      repairBolt: turnsOnBolt(record),
    };
  });
}

const PIN_GONE: ReadonlySet<PivotState> = new Set(['seized', 'oval', 'sheared']);

/** A pivot that was repaired once its pin or hole had gone turns on a bolt with a lock nut. */
function turnsOnBolt({ states, repairs }: PivotRecord): boolean {
  const last = repairs.reduce((latest, day) => (day > latest ? day : latest), '');
  return states.some(({ state, doneOn }) => PIN_GONE.has(state) && doneOn <= last);
}
