import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { showOutlook } from '../../../usecases/day/practice-outlook.ts';
import { caller } from '../../gate/keys.ts';
import type { Routes } from '../../gate/routes.ts';
import { refusals } from '../../gate/routes.ts';

const spread = z.object({ value: z.number(), low: z.number(), high: z.number() });
const outlook = z
  .object({
    years: z.array(z.object({ year: z.int(), cars: spread, visitsPerWeek: spread })),
    fittedPerYear: z.number(),
    fittedYears: z.array(z.object({ from: z.string(), to: z.string(), fitted: z.int() })),
    inCareNow: z.int(),
    visitsPerCar: z.number(),
    yearlyReturn: spread,
    basis: z.enum(['observed', 'shop rule']),
    observed: z.object({ due: z.int(), came: z.int() }),
    usableWeeks: z.number(),
    because: z.array(z.string()),
  })
  .meta({ id: 'Outlook', description: 'Cars in care and visits a week over the coming years.' });

/** The outlook of the practice. */
export function outlookRoutes(app: Routes, context: Context): void {
  app.get(
    '/outlook',
    {
      schema: {
        tags: ['outlook'],
        summary: 'Cars in care and visits a week over the coming years, with the spread',
        querystring: z.strictObject({ years: z.coerce.number().int().min(1).max(30).default(5) }),
        response: { 200: outlook, ...refusals },
      },
    },
    (request) => showOutlook(context, caller(request), request.query),
  );
}
