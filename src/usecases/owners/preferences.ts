import { TOPICS, type Topic } from '../../domain/round/letter-kind.ts';
import type { ConsentRow } from '../../store/owners/consent-rows.ts';
import {
  consentEntries,
  lockCarsOfAddress,
  lockRefusedTopics,
  refusedTopics,
} from '../../store/owners/consent-rows.ts';
import { flag } from '../../store/database/sql.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { Caller, Context } from '../context/context.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { ownOwner } from '../own/owner-records.ts';
import { refuseTopicsIn } from './refuse-topic.ts';
import { requireVersion } from '../context/version.ts';

export interface PreferencesRecord {
  readonly refused: Topic[];
  /** Everything that was ever said about this address, oldest first. */
  readonly consent: {
    topic: string;
    given: boolean;
    at: string;
    by: string;
    words: string;
  }[];
  /** How many entries the record of consent has. */
  readonly version: number;
}

/** What may be written to an owner's address, and who said so when. */
export async function showPreferences(
  context: Context,
  caller: Caller,
  ownerId: string,
): Promise<PreferencesRecord> {
  const owner = await ownOwner(context.store.records, caller, ownerId);
  return recordOf(context.store.sql, owner);
}

/** Sets which topics an owner refuses; topics left out are allowed. `words` is what the owner said. */
export async function changePreferences(
  context: Context,
  caller: Caller,
  ownerId: string,
  wish: { readonly refused: readonly Topic[]; readonly words: string },
  version: number | '*' | null,
): Promise<PreferencesRecord> {
  const owner = await ownOwner(context.store.records, caller, ownerId);
  const at = context.now();
  return context.store.writeSql(async (sql) => {
    await lockCarsOfAddress(sql, owner);
    await lockRefusedTopics(sql, owner);
    requireVersion(version, (await consentEntries(sql, owner)).length);
    const said = {
      organisationId: owner.organisationId,
      addressHash: owner.addressHash,
      ownerId: owner.id,
      by: caller.author.id,
      words: wish.words,
    };
    const allowed = TOPICS.filter((topic) => !wish.refused.includes(topic));
    await refuseTopicsIn(sql, { ...said, topics: wish.refused, given: false }, at);
    await refuseTopicsIn(sql, { ...said, topics: allowed, given: true }, at);
    return recordOf(sql, owner);
  });
}

async function recordOf(sql: Sql, owner: AddressOf): Promise<PreferencesRecord> {
  const entries = await consentEntries(sql, owner);
  return {
    refused: await refusedTopics(sql, owner),
    consent: entries.map(entryOf),
    version: entries.length,
  };
}

type AddressOf = Pick<OwnerRow, 'addressHash'> & { readonly organisationId: string };

function entryOf({ topic, given, at, by, words }: ConsentRow) {
  return { topic, given: flag(given), at, by, words };
}
