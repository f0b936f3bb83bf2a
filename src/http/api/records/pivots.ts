import { z } from 'zod';
import { PIVOT_KINDS } from '../../../domain/pivots/frame-patterns.ts';
import { METHODS } from '../../../domain/pivots/series.ts';
import { PIVOT_STATES, VERDICTS } from '../../../domain/pivots/state.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { readTopPivots } from '../../../usecases/tops/read-pivots.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { refusals } from '../../gate/routes.ts';

export const verdict = z
  .enum(VERDICTS)
  .meta({ description: 'From "leave it alone" to "stop using it".' });
const play = z.object({ doneOn: z.string(), method: z.enum(METHODS), mm: z.number() });
const projection = z
  .object({
    likely: z.string(),
    earliest: z.string(),
    latest: z
      .string()
      .nullable()
      .meta({ description: 'null: the 90 % interval has no end within the horizon.' }),
  })
  .meta({ id: 'Projection', description: 'When the play meets a limit, with a 90 % interval.' });
const trend = z
  .object({
    method: z.enum(METHODS),
    slope: z.number().meta({ description: 'mm a year.' }),
    low: z.number(),
    high: z.number(),
    coverage: z.number().meta({
      description:
        'How often such an interval holds the true slope: 0.67 with three readings, 0.92 with four.',
    }),
    intercept: z.number(),
    s: z.number(),
    p: z.number(),
    n: z.int(),
  })
  .meta({ id: 'PivotTrend' });

const pivotReport = z
  .object({
    code: z.string(),
    side: z.enum(['L', 'R']),
    kind: z.enum(PIVOT_KINDS),
    washersExpected: z.int(),
    lastReading: z
      .object({
        visitId: id,
        doneOn: z.string(),
        state: z.enum(PIVOT_STATES),
        oiled: z.boolean(),
        repaired: z.boolean(),
        lubricant: z.string().nullable(),
        washersPresent: z.int().nullable(),
        axialPlayMm: z.number().nullable(),
        radialPlayMm: z.number().nullable(),
      })
      .nullable(),
    repairedOn: z.string().nullable(),
    series: z.array(play).meta({ description: 'Play since the last repair.' }),
    earlierSeries: z.array(play),
    trend: trend.nullable(),
    missing: z.string().nullable().meta({ description: 'Why no day is projected.' }),
    verdict,
    because: z.array(z.string()),
    method: z
      .enum(METHODS)
      .nullable()
      .meta({ description: 'The method that the days are of; null where nothing was measured.' }),
    limits: z
      .object({ planOver: z.number().nullable(), actOver: z.number() })
      .nullable()
      .meta({ description: 'Its limits in mm, a shop rule; null where the method has none.' }),
    planOn: projection.nullable(),
    actOn: projection.nullable(),
    measureAgainMonths: z
      .int()
      .nullable()
      .meta({ description: 'Months until the next measurement; 0 is now, null: repair it first.' }),
    measureAgainOn: z
      .string()
      .nullable()
      .meta({ description: 'The day of it, counted from the last reading; null where none is.' }),
    sentence: z.string(),
  })
  .meta({ id: 'PivotReport' });

const judged = z
  .object({
    verdict,
    doneOn: z.string(),
    value: z.number(),
    baseline: z.object({ doneOn: z.string(), value: z.number() }).nullable(),
    because: z.string(),
  })
  .meta({ id: 'FrameReading' });
const frame = z
  .object({
    verdict: verdict.nullable().meta({ description: 'Null where nothing was measured.' }),
    because: z.array(z.string()),
    sway: judged.nullable(),
    diagonals: judged.nullable(),
    breakaway: judged.nullable(),
    share: z
      .object({
        joints: z.array(
          z.object({
            pivot: z.string(),
            upperMm: z.number(),
            explainsMm: z.number(),
            share: z.number(),
          }),
        ),
        explainedMm: z.number(),
        unexplainedMm: z.number(),
      })
      .nullable(),
    twist: z.object({
      told: z.enum(['sound', 'loose', 'twisted', 'loose-and-twisted', 'unexplained', 'unknown']),
      because: z.string().nullable(),
    }),
    missing: z.array(z.string()),
  })
  .meta({ id: 'FrameReport', description: 'Sway, diagonals and breakaway force of the frame.' });

const topPivots = z
  .object({ on: z.string(), verdict, items: z.array(pivotReport), frame })
  .meta({ id: 'TopPivots' });

/** What the readings at the pivots of a top say. */
export function pivotRoutes(app: Routes, context: Context): void {
  app.get(
    '/tops/:id/pivots',
    {
      schema: {
        tags: ['tops'],
        summary: 'What the readings say of each pivot, and of the frame',
        params: idParams,
        response: { 200: topPivots, ...refusals },
      },
    },
    (request) => readTopPivots(context, caller(request), request.params.id),
  );
}
