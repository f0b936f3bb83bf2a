import type { Topic } from '../../domain/round/letter-kind.ts';
import { flag } from '../../store/database/sql.ts';

/** By whom a press was made on the page behind a letter's stop link. */
export const BY_LINK = 'stop-link:';

interface Said {
  readonly addressHash: string;
  readonly given: unknown;
  readonly by: string;
}

/**
 * The addresses at which somebody agreed to a topic that goes by consent: by a press of their own, as
 * what was said last. What the organisation noted in its own name is no agreement.
 */
export function agreedAddresses(entries: readonly Said[]): ReadonlySet<string> {
  const agreed = new Set<string>();
  for (const { addressHash, given, by } of entries) {
    if (!flag(given)) agreed.delete(addressHash);
    else if (by.startsWith(BY_LINK)) agreed.add(addressHash);
  }
  return agreed;
}

/** Whether what was said about one address comes to an agreement to a topic. */
export function hasAgreed(
  entries: readonly (Said & { readonly topic: string })[],
  topic: Topic,
): boolean {
  return agreedAddresses(entries.filter((entry) => entry.topic === topic)).size > 0;
}
