import { penInHand, writingAs } from '../../store/database/pen.ts';
import type { Caller, Context } from './context.ts';

/**
 * Runs a deed so that the trail notes whatever it changes as this caller's, at the clock's time. The
 * name of an owner is left out: who is erased must not stand there, and the record says whose it is.
 */
export function actingAs<T>(
  context: Pick<Context, 'now'>,
  { author }: Pick<Caller, 'author'>,
  work: () => T,
): T {
  const name = author.id.startsWith('owner:') ? '' : author.name;
  return writingAs({ author: author.id, name, at: context.now() }, work);
}

/** Whether an owner does it, by a link or page of her own. */
export function isOwnersDeed(): boolean {
  return penInHand()?.author.startsWith('owner:') === true;
}
