import { dueDaysOf, lettersOpenOf } from '../../store/organisations/figure-effects-rows.ts';
import { WORDS_CHANGED } from '../../domain/round/why-cancelled.ts';
import { cancelledAmong } from '../../store/letters/letter-lists.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Caller, Context } from '../context/context.ts';
import type { FigureChange } from './change-figures.ts';
import { changeFigures } from './change-figures.ts';

/** What a change of figures would do at once; what the next round writes by it is not among it. */
export interface FigureEffects {
  /** Tops whose oiling would be due on another day. */
  readonly dueDays: readonly {
    readonly topId: string;
    readonly registration: string;
    readonly was: Day;
    readonly becomes: Day;
  }[];
  /** Letters that wait and would no longer be true. */
  readonly withdrawn: number;
  /** Letters that wait and may tell the figure as it was: written anew where they are still owed. */
  readonly anew: number;
}

/** Carries the answer out of a transaction that shall leave nothing. */
class Tried extends Error {
  constructor(readonly effects: FigureEffects) {
    super('tried, nothing kept');
  }
}

/** What `changeFigures` would do, with its refusals; nothing is kept. */
export async function tryFigures(
  context: Context,
  caller: Caller,
  change: FigureChange,
): Promise<FigureEffects> {
  const { store } = context;
  const { organisationId } = caller;
  try {
    await store.together(async () => {
      const before = await dueDaysOf(store.sql, organisationId);
      const open = await lettersOpenOf(store.sql, organisationId);
      await changeFigures(context, caller, change, '*');
      const after = await dueDaysOf(store.sql, organisationId);
      const gone = await cancelledAmong(store.sql, open);
      const anew = gone.filter(({ cancelledWhy }) => cancelledWhy === WORDS_CHANGED).length;
      const daysBefore = new Map(before.map(({ topId, dueOn }) => [topId, dueOn]));
      throw new Tried({
        dueDays: after.flatMap(({ topId, registration, dueOn }) => {
          const was = daysBefore.get(topId) ?? dueOn;
          return was === dueOn ? [] : [{ topId, registration, was, becomes: dueOn }];
        }),
        withdrawn: gone.length - anew,
        anew,
      });
    });
  } catch (fault) {
    if (fault instanceof Tried) return fault.effects;
    throw fault;
  }
  throw new Error('a trial ends by throwing what it found');
}
