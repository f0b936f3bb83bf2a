import { z } from 'zod';
import { isDay } from '../domain/calendar/day.ts';
import { parseInstant } from '../domain/calendar/instant.ts';
import { isZone } from '../domain/calendar/zone.ts';

// oxlint-disable-next-line no-control-regex -- control characters are exactly what is refused
const CONTROL = /[\u0000-\u001f\u007f-\u009f\u2028\u2029]/;

/** One line of text as people write it; control characters could forge a header or a log line. */
export const line = (most: number) =>
  z
    .string()
    .trim()
    .min(1, 'Write at least one character.')
    .max(most, `Write ${most} characters at most.`)
    .refine((text) => !CONTROL.test(text), 'Leave out line breaks and control characters.');

export const prose = (most: number) =>
  z
    .string()
    .trim()
    .min(1, 'Write at least one character.')
    .max(most, `Write ${most} characters at most.`)
    .refine(
      (text) => !CONTROL.test(text.replace(/[\r\n\t]/g, ' ')),
      'Leave out control characters.',
    );

export const day = z
  .string()
  .refine(isDay, 'Give a calendar day that exists, as YYYY-MM-DD.')
  .meta({ format: 'date', example: '2026-03-14' });

export const instant = z
  .string()
  .refine(
    (text) => parseInstant(text) !== null,
    'Give an instant with its offset, as 2026-03-28T18:00:00Z.',
  )
  .transform((text) => parseInstant(text) ?? text)
  .meta({ format: 'date-time', example: '2026-03-28T18:00:00.000Z' });

export const timeZone = z
  .string()
  .max(64)
  .refine(isZone, 'Give an IANA time zone name, such as Europe/London.')
  .meta({ example: 'Europe/London' });

export const language = z
  .string()
  .regex(/^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$/, 'Give a language tag, such as en or de-AT.')
  .max(35);

export const email = z
  .string()
  .trim()
  .max(254, 'An address has 254 characters at most.')
  .regex(
    /^[^\s<>(),;:"\\@\p{Cc}]+@[^\s<>(),;:"\\@\p{Cc}.]+(?:\.[^\s<>(),;:"\\@\p{Cc}.]+)+$/u,
    'Give one plain address, such as name@example.org.',
  )
  .meta({ format: 'email' });

export const id = z.string().min(1).max(64);
export const idParams = z.strictObject({ id });

export const pageQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  after: z.string().max(400).optional(),
});

/** A page of a list: hand `next` in as `after`; null at the end. */
export const pageOf = <T extends z.ZodType>(item: T) =>
  z.object({ items: z.array(item), next: z.string().nullable() });

export const version = z.int().meta({ description: 'Rises with every change; the ETag names it.' });
export const millimetres = (most: number) =>
  z
    .number()
    .min(0, 'A measure in mm cannot be negative.')
    .max(most, `More than ${most} mm cannot be right. Check the unit.`);
