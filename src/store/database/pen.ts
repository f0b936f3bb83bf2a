import { AsyncLocalStorage } from 'node:async_hooks';

/** Who writes: under this name and instant the trail notes every change. */
export interface Pen {
  readonly author: string;
  /** As people are told; empty where the author's id says enough. */
  readonly name: string;
  /** Null where the database's own clock is to say when. */
  readonly at: string | null;
}

/** What nobody asked for, the server does by itself: the round, the delivery. */
export const SERVER: Pen = { author: 'foldkeep', name: '', at: null };

const inHand = new AsyncLocalStorage<Pen | null>();

/** Runs work whose every change is noted as this author's. Within it another may take the pen. */
export function writingAs<T>(pen: Pen, work: () => T): T {
  return inHand.run(pen, work);
}

/** Runs work that leaves no trail: records that bring their own, as an import does. */
export function withoutTrail<T>(work: () => T): T {
  return inHand.run(null, work);
}

/** Who writes now; null where no trail is to be left. */
export function penInHand(): Pen | null {
  const pen = inHand.getStore();
  return pen === undefined ? SERVER : pen;
}
