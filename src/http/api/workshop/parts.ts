import { z } from 'zod';
import { LARGEST_PRICE } from '../../../domain/money/amount.ts';
import { PARTS } from '../../../domain/parts/kits.ts';
import { changeStock, listStock, showStock } from '../../../usecases/stock/change-stock.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { readParts } from '../../../usecases/stock/read-parts.ts';
import { tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, refusals } from '../../gate/routes.ts';

const part = z.enum(PARTS);
const pieces = z.int().min(0, 'Pieces cannot be fewer than none.').max(100_000);
const partNeed = z
  .object({
    part,
    label: z.string(),
    piece: z.string(),
    onOrderOnly: z.boolean(),
    leadWeeks: z.number(),
    weeks: z.number().meta({ description: 'Weeks looked ahead.' }),
    visits: z.int(),
    expected: z.number(),
    quantity: z.int().meta({ description: 'Enough for the service level over those weeks.' }),
    inHand: z.int().meta({ description: 'Counted, with what is on its way.' }),
    order: z.int(),
    chanceShort: z.number(),
    drivers: z.array(z.object({ reason: z.string(), places: z.int(), expected: z.number() })),
    because: z.string(),
  })
  .meta({ id: 'PartNeed' });
const stock = z
  .object({
    part,
    label: z.string(),
    piece: z.string(),
    inHand: z.int(),
    onOrder: z.int(),
    leadWeeks: z.number(),
    leadFrom: z.enum(['own', 'shop rule']),
    unitPrice: z.int().nullable().meta({
      description: 'For an owner, without tax, in the smallest unit of the currency.',
    }),
    version,
  })
  .meta({ id: 'Stock' });
const params = z.strictObject({ part });

/** The parts that the coming visits will need, and the stock. */
export function partRoutes(app: Routes, context: Context): void {
  const tags = ['parts'];
  app.get(
    '/parts',
    {
      schema: {
        tags,
        summary: 'What to order for the coming visits',
        querystring: z.strictObject({
          weeks: z.coerce.number().int().min(1).max(104).optional(),
        }),
        response: {
          200: z.object({
            today: z.string(),
            items: z.array(partNeed),
            because: z.array(z.string()),
          }),
          ...refusals,
        },
      },
    },
    (request) => readParts(context, caller(request), request.query),
  );
  app.get(
    '/stock',
    {
      schema: {
        tags,
        summary: 'What is in hand and on order of every part',
        response: { 200: z.object({ items: z.array(stock) }), ...refusals },
      },
    },
    async (request) => ({ items: await listStock(context, caller(request)) }),
  );
  app.get(
    '/stock/:part',
    {
      schema: {
        tags,
        summary: 'What is in hand and on order of a part',
        params,
        response: { 200: stock, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showStock(context, caller(request), request.params.part)),
  );
  app.put(
    '/stock/:part',
    {
      schema: {
        tags,
        summary: 'Enter what was counted of a part',
        params,
        body: z.strictObject({
          inHand: pieces,
          onOrder: pieces.optional(),
          leadWeeks: z
            .number()
            .min(0, 'A lead time cannot be negative.')
            .max(52, 'More than a year cannot be right. Give weeks.')
            .nullable()
            .optional(),
          unitPrice: z
            .int()
            .min(0, 'A price cannot be negative.')
            .max(LARGEST_PRICE)
            .nullable()
            .optional(),
        }),
        response: { 200: stock, ...changeRefusals },
      },
    },
    (request, reply) =>
      tagged(
        reply,
        changeStock(
          context,
          caller(request),
          request.params.part,
          request.body,
          versionAsked(request),
        ),
      ),
  );
}
