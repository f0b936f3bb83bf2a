import { addDays, daysBetween, type Day } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { ADVICE_FIGURES } from './advice-figures.ts';
import { ADVICE } from './advice-rows.ts';
import type { Advice, AdviceFacts, When } from './advice.ts';
import type { AdviceValues } from './sayable.ts';
import { careMeantFor, earliest, firstDayOf, firstSayable, seasonOf } from './sayable.ts';

/**
 * The advice that a care note of `today` should carry, the most useful first: highest harm times
 * fitness, nothing that was said within the shop's pause (10 months), and no more than fits a
 * note. Empty when there is nothing worth a letter. Rules of choice: shop rules.
 *
 * The spacing of letters to one owner is not decided here but by the round.
 */
export function careAdvice(
  input: AdviceFacts & { readonly today: Day },
  values: AdviceValues = valuesOf(ADVICE_FIGURES),
  rows: readonly Advice[] = ADVICE,
): Advice[] {
  const { today } = input;
  const tomorrow = addDays(today, 1);
  const age = daysBetween(input.top.fittedOn, today);
  const room = age <= values.firstNoteDays ? values.perFirstNote : values.perNote;
  const season = seasonOf(today, input.hemisphere);
  return (
    careMeantFor(rows, input.top, values)
      // What is out of season needs no reckoning.
      .filter(({ months, otherwise }) => otherwise.length > 0 || (months & season) !== 0)
      .filter((sayable) => firstSayable(sayable, input, today, values, tomorrow) === today)
      .map(({ advice }) => ({ advice, score: advice.harm * fitness(advice, input, values) }))
      .sort((a, b) => b.score - a.score || (a.advice.id < b.advice.id ? -1 : 1))
      .slice(0, room)
      .map((scored) => scored.advice)
  );
}

/**
 * The first day from `from` on (inclusive) at which a care note could have something to say, if
 * nothing new is logged until then; null if that never comes. A scheduler need not look earlier.
 */
export function nextAdviceDay(
  facts: AdviceFacts,
  from: Day,
  values: AdviceValues = valuesOf(ADVICE_FIGURES),
  rows: readonly Advice[] = ADVICE,
): Day | null {
  return earliest(careMeantFor(rows, facts.top, values), from, (sayable, before) =>
    firstSayable(sayable, facts, from, values, before),
  );
}

function fitness(
  advice: Advice,
  input: AdviceFacts & { readonly today: Day },
  values: AdviceValues,
): number {
  const { today } = input;
  const holding = (...kinds: When['kind'][]) =>
    advice.when.some(
      (when) => kinds.includes(when.kind) && firstDayOf(when, input, today, values) === today,
    );
  const named = Object.keys(advice.for).length > 0;
  const saidBefore = input.alreadySent.some((sent) => sent.adviceId === advice.id);
  return (
    (holding('event') ? values.eventFitness : 1) *
    (holding('days-after-fitting', 'frost-after-fitting') ? values.newTopFitness : 1) *
    (named ? values.namedFitness : 1) *
    (saidBefore ? values.saidBeforeFitness : 1)
  );
}
