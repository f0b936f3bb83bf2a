import { z } from 'zod';
import type { Context } from '../../../usecases/context/context.ts';
import { readTrail } from '../../../usecases/trail/read-trail.ts';
import { caller } from '../../gate/keys.ts';
import { id, pageOf, pageQuery } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { refusals } from '../../gate/routes.ts';

const columns = z.record(z.string(), z.unknown()).nullable();
const entry = z
  .object({
    id,
    at: z.string(),
    author: z.string().meta({
      description:
        'Who made the change: `key:ID`, `owner:ID`, `program:NAME`; `foldkeep` is the server itself.',
    }),
    authorName: z.string(),
    kind: z.string(),
    recordId: z.string(),
    action: z.enum(['recorded', 'changed', 'removed']),
    carId: id.nullable(),
    ownerId: id.nullable(),
    visitId: id.nullable(),
    personId: id.nullable().meta({ description: 'Whom of the organisation it is about.' }),
    of: z.string().meta({
      description: 'Of people, invitations and keys, what they are called; empty for all else.',
    }),
    was: columns.meta({ description: 'What stood in the columns that were changed or removed.' }),
    becomes: columns,
  })
  .meta({ id: 'TrailEntry', description: 'One change of a record, never changed itself.' });

/** Who changed what, when, and what stood there before. */
export function trailRoutes(app: Routes, context: Context): void {
  app.get(
    '/trail',
    {
      schema: {
        tags: ['trail'],
        summary: 'Every change of your records with its author, the newest first',
        querystring: pageQuery.extend({
          carId: id.optional(),
          ownerId: id.optional(),
          visitId: id.optional(),
        }),
        response: { 200: pageOf(entry), ...refusals },
      },
    },
    (request) => readTrail(context, caller(request), request.query),
  );
}
