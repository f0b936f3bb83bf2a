import { z } from 'zod';
import { LETTER_KINDS } from '../../domain/round/letter-kind.ts';
import { LETTER_STATES } from '../letters/read-letters.ts';
import { email, instant, anyLanguage, line } from './record-fields.ts';
import { id, word, count, addressHash, letterText } from './set-shapes.ts';
import type { RecordSet } from './record-set.ts';

/** Letters, what became of them, and the wording of the organisation. */
export const LETTER_SETS: readonly RecordSet[] = [
  {
    name: 'letters',
    table: 'letter',
    beside: { table: 'letter_body', id: 'letterId', columns: ['text', 'html', 'calendar'] },
    key: ['id'],
    refers: { ownerId: 'owners' },
    unique: ['messageId'],
    shape: z.strictObject({
      id,
      ownerId: id,
      kind: z.enum(LETTER_KINDS),
      state: z.enum(LETTER_STATES),
      cancelledWhy: z.string().max(400).nullable(),
      language: anyLanguage,
      toName: line(200),
      toAddress: email,
      addressHash,
      topic: z.string().max(40),
      subject: line(1_000),
      text: letterText,
      html: letterText,
      calendar: letterText.nullable(),
      messageId: line(400),
      messageDate: instant,
      refersTo: z.string().max(8_000).nullable().default(null),
      plannedAt: instant,
      notBefore: instant,
      attempts: count,
      // Documents made before this column was added are without it.
      firstTriedAt: instant.nullable().default(null),
      startedAt: instant.nullable(),
      settledAt: instant.nullable(),
      resends: count,
      response: z.string().max(10_000).nullable(),
      fault: z.string().max(10_000).nullable(),
    }),
  },
  {
    name: 'letterOccasions',
    table: 'letter_occasion',
    key: ['key'],
    refers: { letterId: 'letters', ownerId: 'owners', carId: 'cars' },
    unique: ['key'],
    shape: z.strictObject({
      key: z.string().min(1).max(400),
      letterId: id,
      ownerId: id,
      carId: id.nullable(),
      kind: z.enum(LETTER_KINDS),
    }),
  },
  {
    name: 'reports',
    table: 'report',
    key: ['digest'],
    refers: { letterId: 'letters' },
    shape: z.strictObject({
      digest: word,
      letterId: id,
      kind: word,
      verdict: word,
      words: z.string().max(10_000),
      receivedAt: instant,
    }),
  },
  {
    name: 'wordings',
    table: 'wording',
    key: ['kind', 'language', 'slot'],
    shape: z.strictObject({
      kind: z.enum(LETTER_KINDS),
      language: anyLanguage,
      slot: word,
      text: z.string().max(20_000),
      changedAt: instant,
    }),
  },
];
