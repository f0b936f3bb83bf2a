import { z } from 'zod';
import { decideFinding } from '../../../usecases/visits/decide-finding.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { FINDING_OUTCOMES } from '../../../usecases/own/visit-records.ts';
import { listDeclined, listWarranties } from '../../../usecases/tops/warranties.ts';
import { tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { day, id, pageOf, pageQuery } from '../../gate/shapes.ts';
import { wording } from './cautions.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, refusals } from '../../gate/routes.ts';
import { visit } from './visits.ts';

const whose = {
  topId: id,
  carId: id,
  ownerId: id,
  registration: z.string(),
  ownerName: z.string(),
};
const openNote = z.object({
  findingId: id,
  visitId: id,
  fault: z.string(),
  pivot: z.string().nullable(),
  text: z.string(),
  advised: z.string(),
  outcome: z.enum(FINDING_OUTCOMES),
  on: z.string(),
});
const warranty = z
  .object({
    ...whose,
    part: z.string(),
    months: z.int(),
    endsOn: z.string(),
    daysLeft: z.int(),
    openNotes: z
      .array(openNote)
      .meta({ description: 'Advised or declined on this top and not done.' }),
  })
  .meta({ id: 'EndingWarranty' });
const declined = z
  .object({
    ...whose,
    fault: z.string(),
    name: z.string().nullable(),
    pivot: z.string().nullable(),
    advised: z.string(),
    firstOn: z.string(),
    lastOn: z.string(),
    times: z.int(),
  })
  .meta({ id: 'DeclinedWork' });

/** Terms that end, work that was declined, and what came of an advice. */
export function warrantyRoutes(app: Routes, context: Context): void {
  const tags = ['warranties'];
  app.get(
    '/warranties',
    {
      schema: {
        tags,
        summary: 'Parts whose warranty ends soon, with what is still open on the top',
        querystring: pageQuery.extend({
          endingWithin: z.coerce
            .number()
            .int()
            .min(1)
            .max(3_660)
            .default(60)
            .meta({ description: 'Days from today.' }),
        }),
        response: {
          200: pageOf(warranty).extend({
            words: wording.meta({ description: 'Stands beside every term that is shown.' }),
          }),
          ...refusals,
        },
      },
    },
    (request) => listWarranties(context, caller(request), request.query),
  );
  app.get(
    '/declined',
    {
      schema: {
        tags,
        summary: 'Work that was advised and declined and not taken up since',
        response: { 200: z.object({ items: z.array(declined) }), ...refusals },
      },
    },
    async (request) => ({ items: await listDeclined(context, caller(request)) }),
  );
  app.patch(
    '/visits/:visitId/findings/:findingId',
    {
      schema: {
        tags: ['visits'],
        summary: 'Note what came of an advice; the version is that of the visit',
        params: z.strictObject({ visitId: id, findingId: id }),
        body: z.strictObject({ outcome: z.enum(FINDING_OUTCOMES), decidedOn: day.optional() }),
        response: { 200: visit, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        decideFinding(context, caller(request), params, body, versionAsked(request)),
      );
    },
  );
}
