import { z } from 'zod';
import { ANSWERS, ESTIMATE_STATES, LINE_KINDS } from '../../domain/estimates/estimate.ts';
import { LARGEST_QUANTITY } from '../../domain/money/sums.ts';
import { day, instant, line, prose } from './record-fields.ts';
import { id, word, count, version, price, taxRate, currency } from './set-shapes.ts';
import type { RecordSet } from './record-set.ts';

/** Parts in hand, on order and used, and what they cost. */
export const STOCK_SETS: readonly RecordSet[] = [
  {
    name: 'stock',
    table: 'stock',
    key: ['part'],
    shape: z.strictObject({
      part: word,
      // More may have been taken than had been counted.
      inHand: z.int(),
      onOrder: z.int(),
      leadWeeks: z.number().min(0).nullable(),
      version,
      unitPrice: price.nullable().default(null),
    }),
  },
  {
    name: 'priceSettings',
    table: 'price_setting',
    key: ['currency'],
    shape: z.strictObject({
      currency,
      hourRate: price.nullable(),
      taxRate: taxRate.nullable(),
      taxName: line(40).nullable(),
      version,
    }),
  },
  {
    name: 'partOrders',
    table: 'part_order',
    key: ['id'],
    shape: z.strictObject({
      id,
      part: word,
      pieces: count,
      orderedOn: day,
      expectedOn: day.nullable(),
      words: line(200).nullable(),
      receivedOn: day.nullable(),
      receivedPieces: count.nullable(),
      calledOffOn: day.nullable(),
      version,
    }),
  },
  {
    name: 'partUses',
    table: 'part_use',
    key: ['visitId', 'part'],
    refers: { visitId: 'visits' },
    shape: z.strictObject({ visitId: id, part: word, pieces: count, takenOn: day }),
  },
  {
    name: 'estimates',
    table: 'estimate',
    key: ['id'],
    refers: { carId: 'cars', topId: 'tops', ownerId: 'owners' },
    shape: z.strictObject({
      id,
      number: z.int().min(1),
      carId: id,
      topId: id,
      ownerId: id,
      state: z.enum(ESTIMATE_STATES),
      currency,
      taxRate: taxRate.nullable(),
      taxName: line(40).nullable(),
      words: prose(2_000).nullable(),
      madeOn: day,
      sentAt: instant.nullable(),
      holdsUntil: day.nullable(),
      answeredAt: instant.nullable(),
      replaces: id.nullable(),
      version,
    }),
  },
  {
    name: 'estimateLines',
    table: 'estimate_line',
    key: ['id'],
    json: ['pivots', 'findings'],
    flags: ['strips'],
    refers: { estimateId: 'estimates' },
    shape: z.strictObject({
      id,
      estimateId: id,
      place: count,
      work: count,
      kind: z.enum(LINE_KINDS),
      text: prose(1_000),
      quantity: count.max(LARGEST_QUANTITY),
      unitPrice: price.nullable(),
      fault: word.nullable(),
      pivots: z.array(word).max(60),
      findings: z.array(id).max(200),
      part: word.nullable(),
      strips: z.boolean(),
      answer: z.enum(ANSWERS).nullable(),
    }),
  },
];
