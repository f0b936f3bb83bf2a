import type { AdvisedWork } from './declined.ts';

/**
 * Work that is still open: its last word is that it was advised or declined. Accepting or doing it
 * closes it; advising it afterwards opens it again. Oldest last word first; entries of one day count
 * in the order given.
 */
export function openWork<Entry extends AdvisedWork>(entries: readonly Entry[]): Entry[] {
  const last = new Map<string, Entry>();
  const inOrder = entries.toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
  for (const entry of inOrder) {
    const key = JSON.stringify([entry.fault, entry.pivotCode ?? null]);
    last.delete(key);
    if (entry.outcome === 'advised' || entry.outcome === 'declined') last.set(key, entry);
  }
  return [...last.values()];
}
