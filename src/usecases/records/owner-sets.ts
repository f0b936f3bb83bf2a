import { z } from 'zod';
import { TOPICS } from '../../domain/round/letter-kind.ts';
import { email, instant, anyLanguage, ownerFields, timeZone } from './record-fields.ts';
import { id, word, version, addressHash, orNull } from './set-shapes.ts';
import type { RecordSet } from './record-set.ts';

/** Owners, and what they agreed to or refused. */
export const OWNER_SETS: readonly RecordSet[] = [
  {
    name: 'owners',
    table: 'owner',
    key: ['id'],
    flags: ['refusesCalls'],
    shape: z.strictObject({
      id,
      name: ownerFields.name,
      email,
      phone: orNull(ownerFields.phone),
      timeZone,
      language: anyLanguage,
      refusesCalls: z.boolean(),
      createdAt: instant,
      erasedAt: instant.nullable(),
      version,
      postalAddress: orNull(ownerFields.postalAddress).default(null),
      postcode: orNull(ownerFields.postcode).default(null),
      linksRevokedAt: instant.nullable().default(null),
    }),
  },
  {
    name: 'addressStandings',
    table: 'address_standing',
    key: ['addressHash'],
    json: ['refusedTopics', 'softFailures'],
    shape: z.strictObject({
      addressHash,
      refusedTopics: z.array(z.enum(TOPICS)),
      deadSince: instant.nullable(),
      deadWhy: z.string().max(4_000).nullable(),
      softFailures: z.array(z.unknown()).max(200),
      clearedAt: instant.nullable(),
      clearedWords: z.string().max(4_000).nullable(),
    }),
  },
  {
    name: 'consents',
    table: 'consent_entry',
    key: ['id'],
    flags: ['given'],
    refers: { ownerId: 'owners' },
    shape: z.strictObject({
      id,
      addressHash,
      ownerId: id.nullable(),
      topic: z.enum(TOPICS),
      given: z.boolean(),
      at: instant,
      by: word,
      words: z.string().max(4_000),
    }),
  },
];
