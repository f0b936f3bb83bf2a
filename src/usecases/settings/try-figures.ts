import { dueDaysOf, lettersOpenOf } from '../../store/organisations/figure-effects-rows.ts';
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
      const daysBefore = new Map(before.map(({ topId, dueOn }) => [topId, dueOn]));
      throw new Tried({
        dueDays: after.flatMap(({ topId, registration, dueOn }) => {
          const was = daysBefore.get(topId) ?? dueOn;
          return was === dueOn ? [] : [{ topId, registration, was, becomes: dueOn }];
        }),
        withdrawn: open - (await lettersOpenOf(store.sql, organisationId)),
      });
    });
  } catch (fault) {
    if (fault instanceof Tried) return fault.effects;
    throw fault;
  }
  throw new Error('a trial ends by throwing what it found');
}
