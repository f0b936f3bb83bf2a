import { z } from 'zod';
import { CLUB_LETTER_SUBJECT, CLUB_LETTER_TEXT } from '../../domain/letters/club-letter.ts';
import { day, instant, line, timeOfDay } from './record-fields.ts';
import { id, word, count, version } from './set-shapes.ts';
import type { RecordSet } from './record-set.ts';

/** Care days of a club, who comes to them, and its round letters. */
export const CLUB_SETS: readonly RecordSet[] = [
  {
    name: 'careDays',
    table: 'care_day',
    key: ['id'],
    json: ['breaks', 'helpers'],
    shape: z.strictObject({
      id,
      heldOn: day,
      place: line(200),
      fromTime: timeOfDay,
      untilTime: timeOfDay,
      breaks: z.array(z.strictObject({ from: timeOfDay, until: timeOfDay })),
      benches: z.int().min(1).max(20),
      helpers: z.array(z.strictObject({ id, name: line(80), from: timeOfDay, until: timeOfDay })),
      handMinutes: count,
      poweredMinutes: count,
      stepMinutes: z.int().min(5).max(60),
      state: z.enum(['planned', 'open', 'called-off']),
      createdAt: instant,
      version,
    }),
  },
  {
    name: 'clubLetters',
    table: 'club_letter',
    key: ['id'],
    shape: z.strictObject({
      id,
      subject: line(CLUB_LETTER_SUBJECT),
      text: z.string().min(1).max(CLUB_LETTER_TEXT),
      createdAt: instant,
      sentAt: instant.nullable(),
      withdrawnAt: instant.nullable(),
      version,
    }),
  },
  {
    name: 'careDayPlaces',
    table: 'care_day_place',
    key: ['id'],
    refers: { careDayId: 'careDays', carId: 'cars', visitId: 'visits' },
    shape: z.strictObject({
      id,
      careDayId: id,
      carId: id,
      answer: z.enum(['asked', 'waiting', 'declined']),
      asked: count,
      waitingSince: instant.nullable(),
      visitId: id.nullable(),
      bench: count.nullable(),
      helperId: id.nullable(),
      minutes: count.nullable(),
      createdAt: instant,
      version,
    }),
  },
  {
    name: 'partWishes',
    table: 'part_wish',
    key: ['careDayId', 'carId', 'part'],
    refers: { careDayId: 'careDays', carId: 'cars' },
    shape: z.strictObject({
      careDayId: id,
      carId: id,
      part: word,
      pieces: count,
      changedAt: instant,
    }),
  },
];
