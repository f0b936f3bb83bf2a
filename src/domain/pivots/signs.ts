import type { PivotFigures } from './figures.ts';
import type { PivotRecord, Standing, StateFound } from './series.ts';
import { STATE_VERDICTS, STATE_WORK } from './state.ts';
import type { Verdict } from './state.ts';
import { washersMissing, washerVerdict } from './washers.ts';

/** One sign that speaks for a verdict. */
export interface Sign {
  readonly verdict: Verdict;
  readonly because: string;
  readonly from: 'state' | 'washers' | 'reading' | 'trend';
}

/** The state words of the last day on which any was noted. */
export function stateSigns(now: Standing): Sign[] {
  const lastOn = now.states.at(-1)?.doneOn;
  return now.states
    .filter(({ doneOn }) => doneOn === lastOn)
    .map((found) => ({
      verdict: STATE_VERDICTS[found.state],
      because: `${found.state} on ${found.doneOn}: ${dryNoMore(found) ? 'it was oiled then' : STATE_WORK[found.state]}`,
      from: 'state',
    }));
}

/** Found dry and oiled on the same visit: a joint to look at again, which asks for nothing more. */
export function dryNoMore({ state, oiled }: Pick<StateFound, 'state' | 'oiled'>): boolean {
  return state === 'dry' && oiled === true;
}

/** The last count of washers, where it came out short. */
export function washerSigns(
  record: PivotRecord,
  now: Standing,
  sideMissing: number | undefined,
  figures: PivotFigures,
): Sign[] {
  const last = now.washers.at(-1);
  if (!last) return [];
  const { washersExpected } = record;
  const own = washersMissing({ washersPresent: last.present, washersExpected });
  if (own === 0) return [];
  const onSide = Math.max(own, sideMissing ?? own);
  const side = onSide > own ? `, ${onSide} on this side` : '';
  return [
    {
      verdict: washerVerdict(onSide, figures),
      because: `${own} of ${washersExpected} washers missing on ${last.doneOn}${side}`,
      from: 'washers',
    },
  ];
}
