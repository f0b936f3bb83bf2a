import type { Instant } from '../../domain/calendar/instant.ts';
import { TOPICS, type Topic } from '../../domain/round/letter-kind.ts';
import {
  appendConsent,
  consentEntries,
  lockCarsOfAddress,
  lockRefusedTopics,
  openLettersOfTopics,
  storeRefusedTopics,
} from '../../store/owners/consent-rows.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { hasAgreed } from '../own/agreed.ts';

/** What somebody wants to be written about, or no longer. */
export interface ConsentWish {
  readonly organisationId: string;
  /** See `addressHashOf`: the wish belongs to the address, whoever the owner is. */
  readonly addressHash: string;
  readonly ownerId: string | null;
  readonly topics: readonly Topic[];
  /** False refuses the topics, true allows them again. */
  readonly given: boolean;
  /** Through what it was said: `stop-link:ID`, `key:ID`, `complaint:ID`. */
  readonly by: string;
  /** The words that were said or pressed. */
  readonly words: string;
}

export interface ConsentChange {
  /** Topics whose standing changed; empty where all was so before, and then nothing is written. */
  readonly changed: Topic[];
  readonly refused: Topic[];
  readonly cancelledLetters: string[];
}

/** Refuses topics for an address or allows them again; see {@link refuseTopicsIn}. */
export function refuseTopics(context: Context, wish: ConsentWish): Promise<ConsentChange> {
  const at = context.now();
  return context.store.writeSql((sql) => refuseTopicsIn(sql, wish, at));
}

/**
 * Notes that somebody wants letters of a topic that goes by consent alone. Saying it twice changes
 * nothing; what was refused before comes again.
 */
export async function agreeTo(
  context: Context,
  wish: Omit<ConsentWish, 'topics' | 'given'> & { readonly topic: Topic },
): Promise<void> {
  const { topic, ...said } = wish;
  await context.store.writeSql(async (sql) => {
    await lockCarsOfAddress(sql, wish);
    const refused = await lockRefusedTopics(sql, wish);
    if (!refused.includes(topic) && hasAgreed(await consentEntries(sql, wish), topic)) return;
    await storeRefusedTopics(
      sql,
      wish,
      refused.filter((one) => one !== topic),
    );
    const entry = { ...said, id: newId(), topic, given: true, at: context.now() };
    await appendConsent(sql, [entry]);
  });
}

/**
 * Refuses topics for an address or allows them again, inside an open transaction: adds to the record
 * of consent, changes what may be written, cancels the unsent letters of a refused topic, and has the
 * cars looked at again. Saying the same twice changes nothing. Letters about work in hand belong to
 * no topic and cannot be refused.
 */
export async function refuseTopicsIn(
  sql: Sql,
  wish: ConsentWish,
  at: Instant,
): Promise<ConsentChange> {
  const carIds = await lockCarsOfAddress(sql, wish);
  const before = await lockRefusedTopics(sql, wish);
  const changed = TOPICS.filter(
    (topic) => wish.topics.includes(topic) && before.includes(topic) === wish.given,
  );
  if (changed.length === 0) return { changed, refused: before, cancelledLetters: [] };
  const refused = TOPICS.filter((topic) =>
    changed.includes(topic) ? !wish.given : before.includes(topic),
  );
  const { organisationId, addressHash, ownerId, given, by, words } = wish;
  await storeRefusedTopics(sql, wish, refused);
  await appendConsent(
    sql,
    changed.map((topic) => ({
      id: newId(),
      organisationId,
      addressHash,
      ownerId,
      topic,
      given,
      at,
      by,
      words,
    })),
  );
  const open = given ? [] : await openLettersOfTopics(sql, wish, changed);
  const cancelledLetters = await cancelLetters(sql, open, 'refused by its reader', at);
  await lookAgain(sql, carIds);
  return { changed, refused, cancelledLetters };
}
