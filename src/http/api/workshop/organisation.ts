import { ORGANISATION_KINDS } from '../../../domain/organisation-kind.ts';
import { z } from 'zod';
import { changeOrganisation } from '../../../usecases/settings/change-organisation.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { organisationFields } from '../../../usecases/records/organisation-fields.ts';
import { id, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, refusals } from '../../gate/routes.ts';

const organisationChange = z.strictObject(organisationFields).partial();

export const organisation = z
  .object({
    id,
    name: z.string(),
    kind: z.enum(ORGANISATION_KINDS),
    timeZone: z.string(),
    language: z.string(),
    postalAddress: z.string().nullable(),
    phone: z.string().nullable(),
    email: z.string().nullable(),
    logo: z
      .string()
      .nullable()
      .meta({ description: 'The picture at the head of letters, as a data address.' }),
    letterHours: z.object({ from: z.int(), to: z.int() }),
    nightAlarms: z
      .boolean()
      .meta({ description: 'Letters about a folded top may leave at night.' }),
    dailyMail: z.boolean().meta({
      description: 'Its own address gets one mail each morning on which something matters.',
    }),
    version,
  })
  .meta({ id: 'Organisation', description: 'The shop, club or private owner of these records.' });

/** The organisation of the key: show and change. */
export function organisationRoutes(app: Routes, context: Context): void {
  const tags = ['organisation'];
  app.get(
    '/organisation',
    {
      schema: {
        tags,
        summary: 'Show your organisation',
        response: { 200: organisation, ...refusals },
      },
    },
    (request, reply) => tagged(reply, showOrganisation(context, caller(request))),
  );
  app.patch(
    '/organisation',
    {
      schema: {
        tags,
        summary: 'Change your organisation and the hours of its letters',
        body: organisationChange,
        response: { 200: organisation, ...changeRefusals },
      },
    },
    (request, reply) =>
      tagged(
        reply,
        changeOrganisation(context, caller(request), request.body, versionAsked(request)),
      ),
  );
}
