import { z } from 'zod';
import { instant } from './record-fields.ts';
import { id, word, version } from './set-shapes.ts';
import type { RecordSet } from './record-set.ts';

/** Who changed what: figures, and every record. */
export const CHANGE_SETS: readonly RecordSet[] = [
  {
    name: 'figureChanges',
    table: 'shop_rule_change',
    key: ['id'],
    shape: z.strictObject({
      id,
      keyId: word,
      changedAt: instant,
      figure: word,
      was: z.number().nullable(),
      becomes: z.number().nullable(),
      version,
    }),
  },
  {
    name: 'trail',
    table: 'trail',
    key: ['id'],
    shape: z.strictObject({
      id,
      at: instant,
      author: word,
      authorName: z.string().max(300),
      kind: word,
      recordId: z.string().max(200),
      action: word,
      carId: id.nullable(),
      ownerId: id.nullable(),
      visitId: id.nullable(),
      personId: id.nullable().default(null),
      was: z.string().max(400_000).nullable(),
      becomes: z.string().max(400_000).nullable(),
    }),
  },
];
