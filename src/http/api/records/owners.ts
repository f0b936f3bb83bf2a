import { z } from 'zod';
import { addOwner } from '../../../usecases/owners/add-owner.ts';
import { changeOwner } from '../../../usecases/owners/change-owner.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { eraseOwner } from '../../../usecases/owners/erase-owner.ts';
import { listOwners, showOwner } from '../../../usecases/owners/read-owners.ts';
import { exportOwnerData } from '../../../usecases/privacy/owner-data.ts';
import { ownerFields } from '../../../usecases/records/record-fields.ts';
import { created, tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { id, idParams, line, pageOf, pageQuery, prose, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, recordRefusals, refusals } from '../../gate/routes.ts';

const newOwner = z.strictObject(ownerFields);
const ownerChange = z
  .strictObject({
    ...ownerFields,
    phone: line(50).nullable().optional(),
    postalAddress: prose(500).nullable().optional(),
    postcode: line(20).nullable().optional(),
  })
  .partial();

export const owner = z
  .object({
    id,
    name: z.string(),
    email: z.string(),
    phone: z.string().nullable(),
    timeZone: z.string(),
    language: z.string(),
    refusesCalls: z.boolean(),
    postalAddress: z.string().nullable(),
    postcode: z.string().nullable(),
    createdAt: z.string(),
    version,
  })
  .meta({ id: 'Owner', description: 'The person who has the car and gets the letters.' });

const ownerData = z
  .object({
    format: z.literal('foldkeep-owner-data'),
    version: z.literal(1),
    madeAt: z.string(),
    organisation: z.object({
      id,
      name: z.string(),
      postalAddress: z.string().nullable(),
      email: z.string().nullable(),
      phone: z.string().nullable(),
    }),
    ownerId: id,
    leftOut: z.array(z.literal('positions')).meta({
      description:
        'What this file leaves out: `positions` where a club asks and the member has not shown it where the tops stand. The file from the owner’s own page leaves nothing out.',
    }),
    records: z.record(z.string(), z.array(z.record(z.string(), z.unknown()))).meta({
      description:
        'By table, every record about the owner, its columns by name. Days are YYYY-MM-DD, instants UTC. `author`, `recordedBy` and `by` say `you`, `the organisation`, `foldkeep` or `another owner`. Of a car that changed hands there is what was recorded in the owner’s time. Secrets and tokens are left out.',
    }),
  })
  .meta({
    id: 'OwnerData',
    description: 'All that is held about one owner, and nothing about others.',
  });

/** Owners: add, list, show, change, erase. */
export function ownerRoutes(app: Routes, context: Context): void {
  const tags = ['owners'];
  app.post(
    '/owners',
    {
      schema: {
        tags,
        summary: 'Add an owner',
        body: newOwner,
        response: { 201: owner, ...recordRefusals },
      },
    },
    (request, reply) =>
      created(reply, '/v1/owners', addOwner(context, caller(request), request.body)),
  );
  app.get(
    '/owners',
    {
      schema: {
        tags,
        summary: 'List owners',
        querystring: pageQuery,
        response: { 200: pageOf(owner), ...refusals },
      },
    },
    (request) => listOwners(context, caller(request), request.query),
  );
  app.get(
    '/owners/:id',
    {
      schema: {
        tags,
        summary: 'Show an owner',
        params: idParams,
        response: { 200: owner, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showOwner(context, caller(request), request.params.id)),
  );
  app.patch(
    '/owners/:id',
    {
      schema: {
        tags,
        summary: 'Change an owner',
        params: idParams,
        body: ownerChange,
        response: { 200: owner, ...changeRefusals },
      },
    },
    async (request, reply) => {
      const { params, body } = request;
      return tagged(
        reply,
        changeOwner(context, caller(request), params.id, body, versionAsked(request)),
      );
    },
  );
  app.get(
    '/owners/:id/data',
    {
      schema: {
        tags: ['owners'],
        summary: 'All that is held about one owner, for her to take along',
        description:
          'The same file as from the owner’s own page; a club is given no position that the member did not share with it, and `leftOut` says so. Takes a key of the scope `full`.',
        params: idParams,
        response: { 200: ownerData, ...refusals },
      },
    },
    (request) => exportOwnerData(context, caller(request), request.params.id),
  );
  app.delete(
    '/owners/:id',
    {
      schema: {
        tags,
        summary: 'Erase who an owner is; the technical history of the car stays',
        params: idParams,
        response: { 204: z.null(), ...changeRefusals },
      },
    },
    async (request, reply) => {
      await eraseOwner(context, caller(request), request.params.id, versionAsked(request));
      return reply.code(204).send(null);
    },
  );
}
