import { ORGANISATION_KINDS } from '../../domain/organisation-kind.ts';
import { z } from 'zod';
import { figureNamed, ownFigureProblem } from '../../domain/figure-tables/figure-tables.ts';
import { id, version } from './set-shapes.ts';
import { day, email, instant, anyLanguage, line, logo, prose, timeZone } from './record-fields.ts';
import type { RecordSet } from './record-set.ts';
import { OWNER_SETS } from './owner-sets.ts';
import { CAR_SETS } from './car-sets.ts';
import { VISIT_SETS } from './visit-sets.ts';
import { LETTER_SETS } from './letter-sets.ts';
import { DIARY_SETS } from './diary-sets.ts';
import { CLUB_SETS } from './club-sets.ts';
import { STOCK_SETS } from './stock-sets.ts';
import { CHANGE_SETS } from './change-sets.ts';

const ownRules = z.record(z.string(), z.number()).superRefine((rules, context) => {
  for (const [name, value] of Object.entries(rules)) {
    const figure = figureNamed(name);
    const problem =
      figure === undefined ? 'There is no such figure.' : ownFigureProblem(figure, value);
    if (problem !== null) context.addIssue({ code: 'custom', path: [name], message: problem });
  }
});

/** The organisation itself; its records stand inside it, set by set. */
export const ORGANISATION = {
  table: 'organisation',
  json: ['ownRules'],
  flags: ['nightAlarms', 'dailyMail'],
  shape: z.strictObject({
    id,
    name: line(200),
    kind: z.enum(ORGANISATION_KINDS),
    timeZone,
    language: anyLanguage,
    postalAddress: prose(500).nullable(),
    phone: line(50).nullable(),
    email: email.nullable(),
    logo: logo.nullable().default(null),
    letterHours: z.string().refine((hours) => {
      const [, from, to] = /^(\d{1,2})-(\d{1,2})$/.exec(hours) ?? [];
      return from !== undefined && Number(from) < Number(to) && Number(to) <= 24;
    }, 'Give two hours of the day, as 8-20.'),
    nightAlarms: z.boolean(),
    dailyMail: z.boolean().default(true),
    dailyMailOn: day.nullable().default(null),
    ownRules,
    createdAt: instant,
    version,
  }),
} as const;

/**
 * Every kind of record that goes into an export and comes back from it, each after those it refers
 * to. What is left out on purpose: keys, links and sessions (they open doors), what owners share with
 * others (it binds two organisations), answers kept for repeated requests, leases and next tries of
 * letters (they belong to a running server), and columns that follow from others.
 */
export const RECORD_SETS: readonly RecordSet[] = [
  ...OWNER_SETS,
  ...CAR_SETS,
  ...VISIT_SETS,
  ...LETTER_SETS,
  ...DIARY_SETS,
  ...CLUB_SETS,
  ...STOCK_SETS,
  ...CHANGE_SETS,
];

/** The columns of a set in the order in which they are written. */
export function columnsOf(set: { readonly shape: z.ZodObject }): string[] {
  return Object.keys(set.shape.shape);
}
