import { HOLE_USES } from '../../../domain/hardware/hole.ts';
import { z } from 'zod';
import { THREADS } from '../../../domain/hardware/iso-sizes.ts';
import type { Context } from '../../../usecases/context/context.ts';
import {
  hardwareTables,
  judgeHole,
  showRepairSet,
} from '../../../usecases/workshop/hardware-sheets.ts';
import { caller } from '../../gate/keys.ts';
import { idParams, line } from '../../gate/shapes.ts';
import { caution, wording } from '../records/cautions.ts';
import { verdict } from '../records/pivots.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals, refusals } from '../../gate/routes.ts';
import { mark } from '../records/rules.ts';

const thread = z.enum(THREADS);
const limits = z.object({ fine: z.number(), medium: z.number(), coarse: z.number() });
const tables = z
  .object({
    unit: z.literal('mm'),
    sources: z.array(z.object({ table: z.string(), mark, source: z.string() })),
    threads: z.array(
      z.object({
        thread,
        nominal: z.number(),
        clearanceHole: limits,
        plainWasher: z.object({
          inside: z.number(),
          outside: z.number(),
          thickness: z.number(),
        }),
        acrossFlats: z.number(),
        olderAcrossFlats: z.number().nullable(),
      }),
    ),
  })
  .meta({ id: 'Hardware' });
const hole = z
  .object({
    verdict,
    largestMm: z.number(),
    use: z.enum(HOLE_USES),
    limitsMm: limits.nullable().meta({ description: 'ISO 273, for fixings; null for a pivot.' }),
    playMm: z.number(),
    outOfRoundMm: z.number(),
    because: z.string(),
  })
  .meta({ id: 'Hole', description: 'Only the limits are published; the steps are a shop rule.' });
const fit = z.object({ lowUm: z.int(), highUm: z.int() }).nullable();
const holeRepair = z
  .discriminatedUnion('how', [
    z.object({
      how: z.literal('bush'),
      reamMm: z.number(),
      reamLimitsUm: fit,
      outsideMm: z.number(),
      outsideLimitsUm: fit,
      insideMm: z.number(),
      insideLimitsUm: fit,
      wallMm: z.number(),
      isStock: z.boolean(),
      because: z.string(),
    }),
    z.object({ how: z.literal('weld'), because: z.string() }),
  ])
  .meta({ id: 'HoleRepair', description: 'A bush sized from the hole found, or weld and drill.' });
const repairSet = z
  .object({
    pivot: z.string().nullable(),
    thread: thread.nullable(),
    hole: hole.nullable(),
    holeRepair: holeRepair.nullable(),
    items: z.array(
      z.object({
        item: z.string(),
        quantity: z.number(),
        size: z.string(),
        mark,
        source: z.string(),
      }),
    ),
    parts: z.array(z.object({ part: z.string(), label: z.string(), quantity: z.number() })),
    steps: z.array(z.string()),
    first: wording.meta({ description: 'Stands above the cautions.' }),
    cautions: z.array(caution),
  })
  .meta({ id: 'RepairSet', description: 'Items for one pivot, or parts for the whole frame.' });
const diameter = z.coerce.number().min(1).max(100);
const measured = z.number().min(1).max(100);

/** Sizes of hardware, the verdict on a hole, and repair sets. */
export function hardwareRoutes(app: Routes, context: Context): void {
  const tags = ['hardware'];
  app.get(
    '/hardware',
    {
      schema: {
        tags,
        summary: 'Clearance holes, washers and spanner sizes, with their sources',
        response: { 200: tables, ...refusals },
      },
    },
    () => hardwareTables(),
  );
  app.post(
    '/hardware/hole',
    {
      schema: {
        tags,
        summary: 'The verdict on a worn hole from two diameters',
        body: z.strictObject({
          thread,
          diametersMm: z.tuple([measured, measured]),
          use: z.enum(HOLE_USES).optional().meta({
            description: 'A pivot turns on its pin; a fixing only holds. A pivot where left out.',
          }),
        }),
        response: { 200: hole, ...recordRefusals },
      },
    },
    (request) => judgeHole(context, caller(request), request.body),
  );
  app.get(
    '/tops/:id/repair-set',
    {
      schema: {
        tags,
        summary: 'What the repair of one pivot takes, or of the whole frame',
        params: idParams,
        querystring: z.strictObject({
          pivot: line(20).optional().meta({ example: 'L-MAIN' }),
          thread: thread.optional(),
          diametersMm: z
            .tuple([diameter, diameter])
            .optional()
            .meta({ description: 'The hole across two directions; give it twice.' }),
          leafWidthMm: z.coerce.number().min(5).max(200).optional().meta({
            description: 'Width of the leaf across the hole: how large a bush it can take.',
          }),
        }),
        response: { 200: repairSet, ...refusals },
      },
    },
    (request) => showRepairSet(context, caller(request), request.params.id, request.query),
  );
}
