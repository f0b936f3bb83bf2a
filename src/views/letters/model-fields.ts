import { z } from 'zod';
import { isDay } from '../../domain/calendar/day.ts';
import { parseInstant } from '../../domain/calendar/instant.ts';
import { MOVE_HOWS, MOVE_SIGNS, MOVE_VERDICTS } from '../../domain/may-move/move-verdict.ts';
import { isZone } from '../../domain/calendar/zone.ts';
import { kept } from '../words/kept.ts';

/** What the models of letters are made of. */

/** Text on one line; a control character here could forge a header or a line of the letter. */
export function isLine(text: unknown): text is string {
  return (
    typeof text === 'string' &&
    text.length <= 300 &&
    text.trim() !== '' &&
    /^[^\p{Cc}\u2028\u2029]*$/u.test(text)
  );
}

export const line = z
  .string()
  .refine(isLine, 'must be one line of 300 characters at most, not blank, no control characters');

/** Text that a person wrote; line breaks stay, other control characters are refused. */
export const prose = z
  .string()
  .min(1)
  .max(2000)
  .transform((text) => text.replaceAll(/\r\n?/g, '\n'))
  .pipe(z.string().regex(/^(?:\n|[^\p{Cc}\u2028\u2029])*$/u, 'must not hold control characters'));

export const day = z.string().refine(isDay, 'must be a day YYYY-MM-DD');
export const instant = z
  .string()
  .refine((text) => parseInstant(text) !== null, 'must be an instant in UTC, ISO 8601 with Z')
  .transform((text) => parseInstant(text) ?? text);

/** A whole web address that can stand between quotes, and nothing that runs or reads a file. */
export function isLink(text: unknown): text is string {
  return (
    typeof text === 'string' &&
    text.length <= 1000 &&
    /^https?:\/\/[^\s<>"'`\\]+$/u.test(text) &&
    URL.canParse(text)
  );
}

export const link = z.string().refine(isLink, 'must be a whole http or https address');

/** Only inline pictures: a letter fetches nothing. The bound keeps a letter under 30 KB. */
export const logo = z
  .string()
  .max(14_000)
  .regex(
    /^data:image\/(?:png|jpeg|gif|webp|svg\+xml);base64,[A-Za-z0-9+/]+={0,2}$/u,
    'must be a data address of a picture, at most 14,000 characters',
  );

export const language = line.refine(isLanguage, 'must be a language tag such as "en" or "de-AT"');

export const timeZone = line.refine(isZone, 'must be a time zone name such as "Europe/Berlin"');

export const base = {
  language,
  organisation: z.strictObject({
    name: line,
    kind: z.enum(['shop', 'club', 'private']),
    postalAddress: prose.nullable(),
    phone: line.nullable(),
    logo: logo.nullable(),
  }),
  owner: z.strictObject({ name: line }),
  links: z.strictObject({
    preferences: link.nullable(),
    /** What is held about the reader and why; null where the organisation has no page of it. */
    privacy: link.nullable(),
    stop: link.nullable(),
    owner: link.nullable(),
    /** Where every advice stands with its sources. */
    advice: link.nullable(),
  }),
  timeZone,
  today: day,
  /** Which of the cars must not be moved, or only with care; what is not listed is free to move. */
  moves: z
    .array(
      z.strictObject({
        registration: line,
        verdict: z.enum(MOVE_VERDICTS),
        reasons: z.array(
          z.strictObject({
            sign: z.enum(MOVE_SIGNS),
            pivot: line.nullable(),
            fault: line.nullable(),
          }),
        ),
        how: z.array(z.enum(MOVE_HOWS)),
        repairOn: day.nullable(),
        powered: z.boolean().default(false),
      }),
    )
    .default([]),
};

/** What else is said in the letter of the day, below its main matter. */
export const also = z
  .strictObject({
    lubrication: z.array(z.strictObject({ registration: line, dueOn: day, late: z.boolean() })),
    looks: z.array(z.strictObject({ registration: line, until: day })),
    warranties: z.array(z.strictObject({ registration: line, part: line, endsOn: day })),
    advice: z.array(z.strictObject({ text: prose, why: prose })),
  })
  .default({ lubrication: [], looks: [], warranties: [], advice: [] });

export const car = { registration: line, topWords: line.optional() };
export const plainCar = z.strictObject(car);

/** A link to the days that may be chosen for a car, and the ISO weeks, if any, that were kept for it. */
export const offers = z
  .array(z.strictObject({ registration: line, url: link, weeks: z.array(line).max(12) }))
  .max(60);

const tags = new Map<string, boolean>();

function isLanguage(tag: string): boolean {
  return kept(tags, tag, () => {
    try {
      return Intl.getCanonicalLocales(tag).length === 1;
    } catch {
      return false;
    }
  });
}
