import { tracingChannel } from 'node:diagnostics_channel';

export type Facts = Record<string, string | number | boolean>;

/**
 * A piece of work, for whoever watches the program: what kind of work it is and how much of it, never for
 * whom. No value of a record, no address and no token may stand in it.
 */
export interface Work {
  readonly kind: 'request' | 'statement' | 'work';
  /** One of few: a route's pattern, a statement's verb and table, the round. */
  readonly name: string;
  /** More is added while it goes on. */
  readonly facts: Facts;
}

/**
 * Where work is told of, by Node's own way for it: whoever subscribes hears of the begin and the end, and
 * what is done meanwhile is done inside. Where nobody does it costs a question.
 */
export const WORK = tracingChannel<unknown, Work>('foldkeep:work');

/** Does a piece of work and tells whoever watches; `come` says what of its outcome is told. */
export async function watched<T>(
  work: Work,
  deed: () => Promise<T>,
  come: (outcome: T) => Facts = () => ({}),
): Promise<T> {
  if (!WORK.start.hasSubscribers) return deed();
  return WORK.tracePromise(async () => {
    const outcome = await deed();
    Object.assign(work.facts, come(outcome));
    return outcome;
  }, work);
}
