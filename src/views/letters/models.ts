import { z } from 'zod';
import { isCurrency } from '../../domain/money/currency.ts';
import { RenderRefused } from '../words/refused.ts';
import {
  also,
  base,
  car,
  day,
  instant,
  line,
  link,
  offers,
  plainCar,
  prose,
  timeZone,
} from './model-fields.ts';

/**
 * What each kind of letter must be told, field by field. Strict: an unknown field is refused as a
 * missing one is, so that a template can never print a gap.
 */

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
  /** What was measured at the frame on the visit; every limit is a shop rule. */
  measured: z.array(
    z.strictObject({
      of: z.enum(['sway', 'diagonals', 'force']),
      /** In mm; of a force in N. */
      value: z.number().nonnegative(),
      verdict: z.enum(['good', 'watch', 'plan', 'act']),
      held: z.discriminatedUnion('by', [
        z.strictObject({ by: z.enum(['to', 'over']), limit: z.number() }),
        z.strictObject({
          by: z.enum(['from', 'more', 'less']),
          limit: z.number(),
          first: z.strictObject({ on: day, value: z.number() }),
        }),
        z.strictObject({ by: z.literal('first') }),
      ]),
    }),
  ),
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
