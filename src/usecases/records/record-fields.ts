import { z } from 'zod';
import { DAY_ADVICE, isDay } from '../../domain/calendar/day.ts';
import { parseInstant } from '../../domain/calendar/instant.ts';
import { isZone } from '../../domain/calendar/zone.ts';
import { isLanguageTag } from '../../domain/letters/language-tag.ts';
import { PLACES, SALTS, USES } from '../../domain/lubrication/keeping.ts';
import { PIVOT_KINDS } from '../../domain/pivots/frame-patterns.ts';
import { PIVOT_STATES } from '../../domain/pivots/state.ts';
import { letterLanguages } from '../../views/words/words.ts';
import { isPicture, LONGEST_PICTURE } from '../organisations/picture.ts';
import { FINDING_OUTCOMES } from '../own/visit-records.ts';
import type { HANDBOOK, KEEPING } from '../own/car-records.ts';

// What a field of a record may hold, whichever entrance it comes through: HTTP or a file.

// oxlint-disable-next-line no-control-regex -- control characters are exactly what is refused
const CONTROL = /[\u0000-\u001f\u007f-\u009f\u2028\u2029\p{Surrogate}]/u;
// They turn the order of what stands behind them, so that a name reads as another (UTR 36, 2.5).
const TURNS_DIRECTION = /\p{Bidi_Control}/u;

/** Names records; what holds a control character names none, and PostgreSQL cannot even look for it. */
export const id = z
  .string()
  .min(1)
  .max(64)
  .refine((text) => !CONTROL.test(text), 'Leave out control characters.');

/** One line of text as people write it; control characters could forge a header or a log line. */
export const line = (most: number) =>
  z
    .string()
    .trim()
    .min(1, 'Write at least one character.')
    .max(most, `Write ${most} characters at most.`)
    .refine((text) => !CONTROL.test(text), 'Leave out line breaks and control characters.')
    .refine(
      (text) => !TURNS_DIRECTION.test(text),
      'Leave out the invisible signs that turn the direction of writing: type it anew, do not paste it.',
    );

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

/** The picture at the head of an organisation's letters. */
export const logo = z
  .string()
  .refine(
    isPicture,
    `Give a PNG, JPEG or GIF as data:image/png;base64,… of ${LONGEST_PICTURE} characters at most, about 10 KB.`,
  )
  .meta({ maxLength: LONGEST_PICTURE, pattern: '^data:image/(png|jpeg|gif);base64,' });

export const day = z
  .string()
  .refine(isDay, DAY_ADVICE)
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
  .meta({ format: 'time-zone', example: 'Europe/London' });

const tag = (pattern: RegExp, advice: string) =>
  z
    .string()
    .regex(pattern, advice)
    // What only looks like a tag (en-GB-GB) would stop whoever writes dates by it.
    .refine(isLanguageTag, advice)
    .max(35)
    .meta({ format: 'language-tag', example: 'de-AT' });

/** Any language, as records of earlier versions may name it. */
export const anyLanguage = tag(
  /^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$/,
  'Give a language tag, such as en or de-AT.',
);

const languages = letterLanguages();

/** One in which letters can be written: in another they would come in English without a word. */
export const language = tag(
  new RegExp(`^(?:${languages.join('|')})(-[A-Za-z0-9]{2,8})*$`),
  `Letters are written in ${languages.join(' and ')}: give one of these, also with a country, such as de-AT.`,
);

export const email = z
  .string()
  .trim()
  .max(254, 'An address has 254 characters at most.')
  .regex(
    /^[^\s<>(),;:"\\@\p{Cc}\p{Cs}]+@[^\s<>(),;:"\\@\p{Cc}\p{Cs}.]+(?:\.[^\s<>(),;:"\\@\p{Cc}\p{Cs}.]+)+$/u,
    'Give one plain address, such as name@example.org.',
  )
  .meta({ format: 'email' });

export const millimetres = (most: number) =>
  z
    .number()
    .min(0, 'A measure in mm cannot be negative.')
    .max(most, `More than ${most} mm cannot be right. Check the unit.`);

const count = (most: number) => z.int().min(0).max(most);

export const ownerFields = {
  name: line(200),
  email,
  phone: line(50).optional(),
  timeZone: timeZone.optional(),
  language: language.optional(),
  refusesCalls: z.boolean().optional(),
  postalAddress: prose(500).optional(),
  postcode: line(20).optional(),
};

export const registration = line(20);

export const handbookFields = {
  foldedLimitDays: z
    .int()
    .min(1, 'A limit is one day or more.')
    .max(365, 'A limit is 365 days or less.')
    .optional()
    .meta({
      description: 'Days the handbook allows the top to stay folded; 3 where it is not given.',
    }),
  foldFloorCelsius: z.number().min(-40).max(40).nullable().optional(),
} satisfies Record<(typeof HANDBOOK)[number], z.ZodType>;

export const keepingFields = {
  // Left out or null where nobody has told yet: the owner can be asked later.
  place: z.enum(PLACES).nullable().optional(),
  salt: z.enum(SALTS).nullable().optional(),
  use: z.enum(USES).nullable().optional(),
  foldsPerYear: count(20_000).optional(),
  unmovedDays: count(3_660).optional(),
} satisfies Record<(typeof KEEPING)[number], z.ZodType>;

/** What a car is, in the shop's own words. */
export const carWords = {
  make: line(60).optional(),
  model: line(60).optional(),
  year: z.int().min(1885, 'No car is that old.').max(2100, 'Check the year.').optional(),
  colour: line(60).optional(),
};

/** The same fields, each of which may be emptied by null. */
export function orNull<Fields extends Record<string, z.ZodOptional>>(
  fields: Fields,
): { [Name in keyof Fields]: z.ZodOptional<z.ZodNullable<Fields[Name]>> } {
  return Object.fromEntries(
    Object.entries(fields).map(([name, field]) => [name, field.nullable().optional()]),
  ) as { [Name in keyof Fields]: z.ZodOptional<z.ZodNullable<Fields[Name]>> };
}

/** What a top is made of, in the shop's own words. */
export const topWords = {
  coverName: line(80).optional(),
  coverColour: line(60).optional(),
  makersReference: line(80).optional(),
  windowMade: line(80).optional(),
};

export const coverMaterial = z.enum(['vinyl', 'cloth']);
export const windowKind = z.enum(['glass', 'glass-bonded', 'clear-vinyl']);
export const patternName = line(80);
export const warranties = z
  .array(z.strictObject({ part: line(80), months: z.int().min(1).max(600) }))
  .max(30);

export const patternPivotFields = {
  code: line(20).meta({ example: 'L-MAIN' }),
  side: z.enum(['L', 'R']),
  kind: z.enum(PIVOT_KINDS),
  washersExpected: count(8),
  pinMm: z.number().min(2).max(20).default(8),
  x: z.number().min(0).max(100).default(50),
  y: z.number().min(0).max(100).default(50),
};

export const readingFields = {
  state: z.enum(PIVOT_STATES),
  oiled: z.boolean(),
  repaired: z.boolean().optional(),
  lubricant: line(80).optional(),
  washersPresent: z.int().min(0, 'Washers cannot be fewer than none.').max(8).optional(),
  axialPlayMm: millimetres(50).optional(),
  radialPlayMm: millimetres(50).optional(),
};

export const findingFields = {
  fault: line(60).optional(),
  pivot: line(20).optional(),
  text: prose(1000),
  advised: prose(1000).optional(),
  outcome: z.enum(FINDING_OUTCOMES).optional(),
};

export const visitMeasures = {
  minutes: z.int().min(1).max(6_000).optional(),
  swayMm: millimetres(500).optional(),
  breakawayN: z.number().min(0, 'A force cannot be negative.').max(2_000).optional(),
  notes: prose(4_000).optional(),
};
export const diagonalMm = millimetres(5_000);

const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Give a time of day, as in 08:30.');

/** A time of day by the shop's own clock. */
export const timeOfDay = clockTime.meta({ example: '08:30' });

/** Opening hours by weekday, 1 for Monday to 7 for Sunday. */
export const openHours = z.record(
  z.string().regex(/^[1-7]$/, 'Give 1 for Monday to 7 for Sunday.'),
  z.strictObject({ from: timeOfDay, to: timeOfDay }),
);
