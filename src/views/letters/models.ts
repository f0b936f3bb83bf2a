import { z } from 'zod';
import { isDay } from '../../domain/calendar/day.ts';
import { parseInstant } from '../../domain/calendar/instant.ts';
import { MOVE_HOWS, MOVE_SIGNS, MOVE_VERDICTS } from '../../domain/may-move/move-verdict.ts';
import { isZone } from '../../domain/calendar/zone.ts';
import { isCurrency } from '../../domain/money/currency.ts';
import { kept } from '../words/kept.ts';
import { RenderRefused } from '../words/refused.ts';

/**
 * What each kind of letter must be told, field by field. Strict: an unknown field is refused as a
 * missing one is, so that a template can never print a gap.
 */

/** Text on one line; a control character here could forge a header or a line of the letter. */
export function isLine(text: unknown): text is string {
  return (
    typeof text === 'string' &&
    text.length <= 300 &&
    text.trim() !== '' &&
    /^[^\p{Cc}\u2028\u2029]*$/u.test(text)
  );
}

const line = z
  .string()
  .refine(isLine, 'must be one line of 300 characters at most, not blank, no control characters');

/** Text that a person wrote; line breaks stay, other control characters are refused. */
const prose = z
  .string()
  .min(1)
  .max(2000)
  .transform((text) => text.replaceAll(/\r\n?/g, '\n'))
  .pipe(z.string().regex(/^(?:\n|[^\p{Cc}\u2028\u2029])*$/u, 'must not hold control characters'));

const day = z.string().refine(isDay, 'must be a day YYYY-MM-DD');
const instant = z
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

const link = z.string().refine(isLink, 'must be a whole http or https address');

/** Only inline pictures: a letter fetches nothing. The bound keeps a letter under 30 KB. */
const logo = z
  .string()
  .max(14_000)
  .regex(
    /^data:image\/(?:png|jpeg|gif|webp|svg\+xml);base64,[A-Za-z0-9+/]+={0,2}$/u,
    'must be a data address of a picture, at most 14,000 characters',
  );

const language = line.refine(isLanguage, 'must be a language tag such as "en" or "de-AT"');

const timeZone = line.refine(isZone, 'must be a time zone name such as "Europe/Berlin"');

const base = {
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
const also = z
  .strictObject({
    lubrication: z.array(z.strictObject({ registration: line, dueOn: day, late: z.boolean() })),
    looks: z.array(z.strictObject({ registration: line, until: day })),
    warranties: z.array(z.strictObject({ registration: line, part: line, endsOn: day })),
    advice: z.array(z.strictObject({ text: prose, why: prose })),
  })
  .default({ lubrication: [], looks: [], warranties: [], advice: [] });

const car = { registration: line, topWords: line.optional() };
const plainCar = z.strictObject(car);

/** A link to the days that may be chosen for a car, and the ISO weeks, if any, that were kept for it. */
const offers = z
  .array(z.strictObject({ registration: line, url: link, weeks: z.array(line).max(12) }))
  .max(60);

const lubrication = z.strictObject({
  ...base,
  cars: z
    .array(
      z.strictObject({
        ...car,
        lastOn: day.nullable(),
        fittedOn: day,
        dueOn: day,
        /** The visit whose find made the oil due, where the due day had gone by before it. */
        foundOn: day.nullable().default(null),
        windowFrom: day,
        windowTo: day,
        intervalMonths: z.int().positive(),
        because: z.array(line),
        lateDays: z.int().nonnegative().nullable(),
        powered: z.boolean().default(false),
      }),
    )
    .min(1),
  offers,
  also,
});

const look = z.strictObject({
  ...base,
  cars: z.array(z.strictObject({ ...car, since: day, windowFrom: day, windowTo: day })).min(1),
  offers,
  also,
});

const folded = z.strictObject({
  ...base,
  /** How long a top must stay raised to start afresh. Shop rule. */
  restHours: z.int().positive(),
  cars: z
    .array(
      z.strictObject({
        ...car,
        /** Null where it stood folded before the car was its reader's: that time is its former owner's. */
        startedAt: instant.nullable(),
        limitDays: z.int().positive(),
        overAt: instant.nullable(),
        /** The day on which its reader got the car with its top down; null otherwise. */
        tookOverOn: day.nullable().default(null),
        damp: z.boolean(),
        coverOn: z.boolean().nullable(),
        powered: z.boolean().default(false),
        /** Below this the top is not moved, and whether the car's handbook or a shop rule says so. */
        floor: z
          .strictObject({ celsius: z.number(), byHandbook: z.boolean() })
          .nullable()
          .default(null),
      }),
    )
    .min(1),
});

/** That tops must stay: which, and why, stands in `moves`. */
const mustStay = z.strictObject({
  ...base,
  cars: z.array(plainCar).min(1),
  /** Their yearly oil is due as well. */
  oilWaits: z.boolean(),
});

const careNote = z.strictObject({
  ...base,
  also,
  cars: z.array(plainCar).min(1),
  advice: z
    .array(
      z.strictObject({
        id: line,
        subject: line,
        preheader: line,
        text: prose,
        why: prose,
      }),
    )
    .min(1),
});

const visitKind = z.enum(['lubrication', 'settling', 'look', 'repair']);

const visit = z.strictObject({
  ...base,
  cars: z.array(plainCar).min(1),
  visit: z.strictObject({
    kind: visitKind,
    week: line.nullable(),
    on: day.nullable(),
    /** When the car is brought and ready, by the clock of the zone where the work is done. */
    times: z.strictObject({ dropOffAt: instant, readyAt: instant, timeZone }).nullable(),
    minutes: z.int().positive().nullable(),
    previousOn: day.nullable(),
    /** It is told because the place is another: day and time are as they were. */
    elsewhere: z.boolean(),
    /** Where it takes place, if that is not the organisation's own place. */
    where: line.nullable(),
    reason: prose.nullable(),
    /** Where its owner moves or cancels it. */
    manage: link.nullable(),
  }),
  offers,
  also,
});

const visitReport = z.strictObject({
  ...base,
  cars: z.array(plainCar).min(1),
  visit: z.strictObject({ kind: visitKind, doneOn: day }),
  /** The day of the report that this one takes the place of; null for the first. */
  insteadOf: day.nullable().default(null),
  pivots: z.strictObject({
    checked: z.int().nonnegative(),
    oiled: z.int().nonnegative(),
    washersMissing: z.int().nonnegative(),
    /** Joints that nobody looked at on this visit. */
    unseen: z.int().nonnegative(),
    repaired: z.array(line),
    /** Joints that were looked at and given no oil, where oil was what the visit was for. */
    notOiled: z.array(line),
    /** Every joint of the frame where its pattern has it, 0 to 100 each way; null where it says nothing. */
    frame: z.array(
      z.strictObject({
        code: line,
        side: z.enum(['L', 'R']),
        kind: line,
        verdict: z.enum(['good', 'watch', 'plan', 'act']),
        x: z.number().nullable(),
        y: z.number().nullable(),
      }),
    ),
    worst: z.array(
      z.strictObject({
        code: line,
        verdict: z.enum(['good', 'watch', 'plan', 'act']),
        sentence: prose,
      }),
    ),
  }),
  findings: z.array(
    z.strictObject({
      /** Code of the joint that it was found at. */
      joint: line.nullable(),
      text: prose,
      advised: prose.nullable(),
      outcome: z.enum(['advised', 'accepted', 'declined', 'done']).nullable(),
    }),
  ),
  /** Some of them stand as they were typed, in another language than the letter's. */
  foreign: z.boolean(),
  /** Photos of the visit, as data addresses, with what they show. */
  photos: z
    .array(
      z.strictObject({
        picture: z
          .string()
          .max(90_000)
          .regex(/^data:image\/jpeg;base64,[A-Za-z0-9+/]+={0,2}$/u, 'must be a JPEG data address'),
        words: line.nullable(),
        joint: line.nullable(),
      }),
    )
    .max(4)
    .default([]),
  nextDueOn: day.nullable(),
  /** When what was found stiff or repaired on this visit wants to be looked at again. */
  lookAgain: z.strictObject({ from: day, to: day }).nullable(),
});

const warrantyEnding = z.strictObject({
  ...base,
  offers,
  also,
  cars: z
    .array(z.strictObject({ ...car, part: line, endsOn: day, openNotes: z.array(prose) }))
    .min(1),
});

const careDay = z.strictObject({
  ...base,
  cars: z
    .array(
      z.strictObject({
        ...car,
        on: day,
        place: line,
        from: line,
        until: line,
        changeUntil: day,
      }),
    )
    .min(1),
  offers,
  also,
});

const coins = z.int().nonnegative();
const estimate = z.strictObject({
  ...base,
  cars: z.array(plainCar).min(1),
  /** Amounts in the smallest unit of the currency. */
  estimate: z.strictObject({
    number: z.int().positive(),
    currency: z.string().refine(isCurrency, 'must be a currency of ISO 4217'),
    items: z.array(z.strictObject({ text: prose, amount: coins })).min(1),
    net: coins,
    tax: coins.nullable(),
    taxName: line.nullable(),
    total: coins,
    holdsUntil: day,
    words: prose.nullable(),
    /** Where the owner answers. */
    answer: link.nullable(),
  }),
});

const clubLetter = z.strictObject({
  ...base,
  /** Those of its reader; it is not about them. */
  cars: z.array(plainCar).min(1),
  /** As the secretary typed it. */
  title: line,
  paragraphs: z.array(prose).min(1),
});

/** The strict model of every letter kind. */
export const LETTER_MODELS = {
  'lubrication-ahead': lubrication,
  'lubrication-due': lubrication,
  'lubrication-late': lubrication,
  'look-due': look,
  'look-late': look,
  'folded-nearing': folded,
  'folded-over': folded,
  'folded-still': folded,
  'must-stay': mustStay,
  'care-note': careNote,
  'visit-offered': visit,
  'visit-booked': visit,
  'visit-moved': visit,
  'visit-called-off': visit,
  'visit-report': visitReport,
  'warranty-ending': warrantyEnding,
  'care-day-asked': careDay,
  estimate,
  'club-letter': clubLetter,
} as const;

export type LetterKind = keyof typeof LETTER_MODELS;

/** What a caller hands over for a letter of this kind. */
export type LetterModel<K extends LetterKind = LetterKind> = z.input<(typeof LETTER_MODELS)[K]>;

type CheckedModels = { [K in LetterKind]: z.output<(typeof LETTER_MODELS)[K]> };

/** The model of a kind once it has been checked. */
export type Checked<K extends LetterKind> = CheckedModels[K];

const SCHEMAS: { readonly [K in LetterKind]: z.ZodType<Checked<K>> } = LETTER_MODELS;

export function isLetterKind(name: string): name is LetterKind {
  return Object.hasOwn(LETTER_MODELS, name);
}

/** Kinds about a car that stands folded: nothing about storage may show before the letter is opened. */
export const isFoldedKind = (kind: LetterKind): boolean => kind.startsWith('folded-');

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

/** The model as checked, line breaks made plain. Throws {@link RenderRefused} with the first field. */
export function checkModel<K extends LetterKind>(kind: K, model: unknown): Checked<K> {
  if (!isLetterKind(kind)) throw new RenderRefused('kind', 'no such kind of letter');
  const checked = SCHEMAS[kind].safeParse(model);
  if (checked.success) return checked.data;
  const issue = checked.error.issues[0];
  const unknown = issue?.code === 'unrecognized_keys' ? issue.keys.slice(0, 1) : [];
  const field = [...(issue?.path ?? []), ...unknown].map(String).join('.') || 'model';
  throw new RenderRefused(field, issue?.message ?? 'not what a letter needs');
}
