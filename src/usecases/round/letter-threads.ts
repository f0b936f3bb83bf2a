import { matterOf } from '../../domain/round/matter.ts';
import type { Told } from '../../domain/round/told.ts';

/** The Message-IDs of the letters that reached their reader, by matter, oldest first. */
export type Threads = ReadonlyMap<string, readonly string[]>;

type Threaded = Pick<Told, 'key' | 'letterId' | 'messageId' | 'state'>;

/** Letters on one matter, so that later ones can refer to them (RFC 5322, 3.6.4). */
export function threadsOf(told: readonly Threaded[]): Threads {
  const threads = new Map<string, string[]>();
  const out = told.filter(({ state }) => state === 'delivered' || state === 'unknown');
  // Ids of letters rise with the time of writing.
  for (const { key, messageId } of out.toSorted((a, b) => (a.letterId < b.letterId ? -1 : 1))) {
    const matter = matterOf(key);
    if (matter === null) continue;
    threads.set(matter, [...(threads.get(matter) ?? []), messageId]);
  }
  return threads;
}

/** What a letter about these occasions refers to, oldest first. */
export function earlierLetters(
  threads: Threads,
  occasions: readonly { readonly key: string }[],
): string[] {
  const found = occasions.flatMap(({ key }) => threads.get(matterOf(key) ?? '') ?? []);
  return [...new Set(found)].sort();
}
