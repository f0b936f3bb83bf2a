import { ORGANISATION_KINDS } from '../../../domain/organisation-kind.ts';
import { z } from 'zod';
import { changeOrganisation } from '../../../usecases/settings/change-organisation.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { email, id, language, line, logo, prose, timeZone, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, refusals } from '../../gate/routes.ts';

const letterHours = z
  .strictObject({ from: z.int().min(0).max(23), to: z.int().min(1).max(24) })
  .refine(({ from, to }) => from < to, {
    path: ['to'],
    message: 'The hours end before they begin. Give an hour after "from".',
  })
  .meta({ description: "Letters leave from the first hour on, in the owner's zone." });

const organisationChange = z
  .strictObject({
    name: line(200),
    kind: z.enum(ORGANISATION_KINDS),
    timeZone,
    language,
    postalAddress: prose(400).nullable(),
    phone: line(50).nullable(),
    email: email.nullable(),
    logo: logo.nullable(),
    letterHours,
    nightAlarms: z.boolean(),
  })
  .partial();

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
