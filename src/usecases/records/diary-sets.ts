import { z } from 'zod';
import { CALL_OUTCOMES } from '../../domain/calls/earlier-calls.ts';
import { day, instant, openHours } from './record-fields.ts';
import { id, word, version } from './set-shapes.ts';
import type { RecordSet } from './record-set.ts';

/** Days that are open, times that were offered, and calls. */
export const DIARY_SETS: readonly RecordSet[] = [
  {
    name: 'diary',
    table: 'diary',
    key: ['weekdays'],
    json: ['weekdays', 'hours'],
    flags: ['takesBookings'],
    shape: z.strictObject({
      weekdays: z.array(z.int().min(1).max(7)).max(7),
      hours: openHours.default({}),
      country: word.nullable().default(null),
      state: word.nullable().default(null),
      region: word.nullable().default(null),
      takesBookings: z.boolean().nullable().default(null),
      version,
    }),
  },
  {
    name: 'closures',
    table: 'closure',
    key: ['id'],
    shape: z.strictObject({ id, fromOn: day, untilOn: day, words: z.string().max(400) }),
  },
  {
    name: 'offers',
    table: 'offer',
    key: ['id'],
    json: ['weeks'],
    refers: { topId: 'tops', visitId: 'visits' },
    shape: z.strictObject({
      id,
      topId: id,
      week: word,
      weeks: z.array(word).max(60),
      dueOn: day,
      kind: z.enum(['lubrication', 'look']).default('lubrication'),
      state: z.enum(['open', 'taken', 'withdrawn']),
      offeredAt: instant,
      endedAt: instant.nullable(),
      visitId: id.nullable(),
    }),
  },
  {
    name: 'calls',
    table: 'call_entry',
    key: ['id'],
    refers: { carId: 'cars', ownerId: 'owners' },
    shape: z.strictObject({
      id,
      carId: id,
      ownerId: id,
      calledOn: day,
      outcome: z.enum(CALL_OUTCOMES),
      notes: z.string().max(4_000).nullable(),
      recordedAt: instant,
    }),
  },
];
