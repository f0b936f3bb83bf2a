import { z } from 'zod';
import type { Instant } from '../../domain/calendar/instant.ts';
import { PARTS } from '../../domain/parts/kits.ts';
import { isCurrency } from '../../domain/money/currency.ts';
import { email, line } from '../records/record-fields.ts';

const daysAgo = z.int().min(0).max(60);
const car = z.string();

/** What happens at the desk of the shop, beside its cars and visits: money, stock, photos, a sale. */
export const deskSeed = z.strictObject({
  prices: z.strictObject({
    currency: z.string().refine(isCurrency),
    hourRate: z.int(),
    taxRate: z.int(),
    taxName: z.string(),
  }),
  stock: z.array(z.strictObject({ part: z.enum(PARTS), inHand: z.int(), unitPrice: z.int() })),
  orders: z.array(
    z.strictObject({
      part: z.enum(PARTS),
      pieces: z.int(),
      orderedDaysAgo: daysAgo,
      expectedInDays: z.int(),
      words: line(200),
    }),
  ),
  /** Made from the work that is open on the car, and sent the same day. */
  estimates: z.array(
    z.strictObject({
      car,
      sentDaysAgo: daysAgo,
      answer: z.enum(['accepted', 'declined']).optional(),
      answeredDaysAgo: daysAgo.optional(),
    }),
  ),
  photos: z.array(z.strictObject({ car, file: z.string(), words: line(200), daysAgo })),
  sales: z.array(
    z.strictObject({
      car,
      daysAgo,
      buyer: z.strictObject({ name: line(100), email, phone: line(50) }),
    }),
  ),
});
export type DeskSeed = z.infer<typeof deskSeed>;

/** The instant of a wall-clock time so many days ago, never after now. */
export type DeskClock = (daysAgo: number, time: string) => Instant;
