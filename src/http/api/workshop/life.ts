import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { LIFE_GROUPS, washerLives } from '../../../usecases/tops/washer-lives.ts';
import { caller } from '../../gate/keys.ts';
import type { Routes } from '../../gate/routes.ts';
import { refusals } from '../../gate/routes.ts';

const refused = z.object({ refused: z.string(), events: z.int() });
const weibull = z.object({
  shape: z.number(),
  scale: z.number().meta({ description: 'In days.' }),
  logLikelihood: z.number(),
  events: z.int(),
  n: z.int(),
  clusters: z.int().meta({ description: 'Cars that the ranges rest on.' }),
  shapeLow: z.number().nullable(),
  shapeHigh: z.number().nullable(),
  scaleLow: z.number().nullable(),
  scaleHigh: z.number().nullable(),
  covariance: z
    .object({ scale: z.number(), both: z.number(), shape: z.number() })
    .nullable()
    .meta({ description: 'Of the logarithms of scale and shape, cars taken as wholes.' }),
});
const group = z.object({
  group: z.string(),
  washers: z.int(),
  failures: z.int(),
  setAside: z.object({ neverSeen: z.int(), goneAtOnce: z.int() }),
  steps: z.array(
    z.object({
      after: z.number(),
      by: z.number().nullable(),
      share: z.number(),
      survival: z.number(),
    }),
  ),
  medianBetween: z.object({ after: z.number(), by: z.number() }).nullable(),
  weibull: z.union([refused, weibull]),
  band: z.array(
    z.object({
      time: z.number(),
      survival: z.number(),
      low: z.number().nullable(),
      high: z.number().nullable(),
    }),
  ),
  gapDays: z.number().nullable(),
});
const life = z
  .object({
    part: z.literal('washer'),
    by: z.enum(LIFE_GROUPS),
    groups: z.array(group),
    comparison: z
      .union([refused, z.object({ chiSquare: z.number(), p: z.number(), words: z.string() })])
      .nullable(),
    note: z.string(),
    because: z.array(z.string()),
  })
  .meta({ id: 'Life', description: 'How long a part lasts, in days, from your own records.' });

/** The life of a washer. */
export function lifeRoutes(app: Routes, context: Context): void {
  app.get(
    '/life',
    {
      schema: {
        tags: ['life'],
        summary: 'How long washers last, by frame pattern or by exposure class',
        querystring: z.strictObject({
          part: z.literal('washer').default('washer'),
          by: z.enum(LIFE_GROUPS).default('pattern'),
        }),
        response: { 200: life, ...refusals },
      },
    },
    (request) => washerLives(context, caller(request), request.query.by),
  );
}
