import { z } from 'zod';
import { ORGANISATION_KINDS } from '../../domain/organisation-kind.ts';
import { email, language, line, logo, prose, timeZone } from './record-fields.ts';

const letterHours = z
  .strictObject({ from: z.int().min(0).max(23), to: z.int().min(1).max(24) })
  .refine(({ from, to }) => from < to, {
    path: ['to'],
    message: 'The hours end before they begin. Give an hour after "from".',
  })
  .meta({ description: "Letters leave from the first hour on, in the owner's zone." });

/** What an organisation may say of itself, whichever entrance it comes through. */
export const organisationFields = {
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
  dailyMail: z.boolean(),
};
