import { ORGANISATION_KINDS } from '../../domain/organisation-kind.ts';
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { PIVOT_KINDS } from '../../domain/pivots/frame-patterns.ts';
import { PIVOT_STATES } from '../../domain/pivots/state.ts';
import { PLACES, SALTS, USES } from '../../domain/lubrication/keeping.ts';
import { TOPICS } from '../../domain/round/letter-kind.ts';
import { clubSeed } from './scenario-club.ts';
import { deskSeed } from './scenario-desk-seeds.ts';
import { FINDING_OUTCOMES, VISIT_KINDS } from '../own/visit-records.ts';
import { carWords, timeOfDay, topWords } from '../records/record-fields.ts';

/** From and to, both included; what lies between is left to chance. */
const range = z.tuple([z.int(), z.int()]).readonly();
const warranty = z.strictObject({ part: z.string(), months: z.int() });
const finding = z.strictObject({
  fault: z.string(),
  pivot: z.string().optional(),
  outcome: z.enum(FINDING_OUTCOMES),
});

const car = z.strictObject({
  registration: z.string(),
  carWords: z.strictObject(carWords).required(),
  /** Of the top that is on it now. */
  topWords: z.strictObject(topWords).pick({ coverColour: true, makersReference: true }).required(),
  frame: z.string(),
  cover: z.enum(['vinyl', 'cloth']),
  window: z.enum(['glass', 'glass-bonded', 'clear-vinyl']),
  place: z.enum(PLACES),
  salt: z.enum(SALTS),
  use: z.enum(USES),
  folds: z.int(),
  unmoved: z.int().optional(),
  limitDays: z.int().optional(),
  floor: z.number().optional(),
  /** Months ago that the frame got the first top that is on record. */
  fitted: range.optional(),
  fittedDaysAgo: range.optional(),
  /** Months ago that it was re-covered, and with what it was covered before. */
  recovered: range.optional(),
  oldCover: z.enum(['vinyl', 'cloth']).optional(),
  /** Days from today to the day its lubrication is due; before today where negative. */
  due: range.optional(),
  warranties: z.array(warranty).optional(),
  /** The fitted day follows from this: the term of the part ends in so many days. */
  warrantyEnds: z.strictObject({ part: z.string(), in: range }).optional(),
  /** What differs from a sound pivot: how its last visit found it, and how fast its play grows. */
  joints: z
    .array(
      z.strictObject({
        pivot: z.string(),
        perYear: z.number(),
        state: z.enum(PIVOT_STATES).optional(),
        missing: z.int().optional(),
      }),
    )
    .optional(),
  /** A pivot that was found bad one visit before the last and was mended since. */
  mended: z
    .strictObject({ pivot: z.string(), found: z.enum(PIVOT_STATES), fault: z.string() })
    .optional(),
  frameWear: z
    .strictObject({
      swayPerYear: z.number().optional(),
      diagonalsPerYear: z.number().optional(),
      breakawayPerYear: z.number().optional(),
    })
    .optional(),
  findings: z.array(finding).optional(),
  /** Days until a visit that is booked. */
  booked: z.strictObject({ kind: z.enum(VISIT_KINDS), in: range }).optional(),
  /** Days since a booked lubrication that nobody came to. */
  missed: range.optional(),
  position: z
    .enum([
      'folded-last-week',
      'folded-damp',
      'folded-nearing',
      'folded-for-weeks',
      'under-hard-top',
    ])
    .optional(),
  /** A fold of last summer that was raised only after the letter: at these times of day, so many nights on. */
  nearMiss: z
    .strictObject({ foldedAt: timeOfDay, raisedAt: timeOfDay, nights: z.int() })
    .optional(),
  /** Its owner logs every fold. */
  logs: z.boolean().optional(),
  /** What makes it worth a look, and whether the demo says so when it starts. */
  note: z.string().optional(),
  shown: z.boolean().optional(),
});
export type SeedCar = z.infer<typeof car>;

const owner = z.strictObject({
  name: z.string(),
  email: z.string(),
  phone: z.string().optional(),
  timeZone: z.string().optional(),
  language: z.string().optional(),
  refuses: z.array(z.enum(TOPICS)).optional(),
  refusesCalls: z.boolean().optional(),
  /** What the mail server said when it turned a letter away for good. */
  bounced: z.string().optional(),
  cars: z.array(car).min(1),
});
export type SeedOwner = z.infer<typeof owner>;

const seed = z.strictObject({
  organisation: z.strictObject({
    name: z.string(),
    kind: z.enum(ORGANISATION_KINDS),
    timeZone: z.string(),
    language: z.string(),
    postalAddress: z.string().nullable(),
    phone: z.string().nullable(),
    email: z.string().nullable(),
    nightAlarms: z.boolean(),
    startedMonthsAgo: z.int(),
  }),
  owners: z.array(owner),
  desk: deskSeed.optional(),
  club: clubSeed.optional(),
  /** Whether the letters of the past year are there. */
  pastLetters: z.boolean().optional(),
  framePatterns: z.array(
    z.strictObject({
      name: z.string(),
      /** Of one side; the other side is its mirror. */
      joints: z.array(
        z.strictObject({
          name: z.string(),
          kind: z.enum(PIVOT_KINDS),
          washers: z.int(),
          pinMm: z.number(),
          x: z.number(),
          y: z.number(),
        }),
      ),
    }),
  ),
});
/** An organisation of the scenario with everybody in it. */
export type SeedOrganisation = z.infer<typeof seed>;

const words = z.record(z.string(), z.strictObject({ text: z.string(), advised: z.string() }));
/** What a workshop writes down about a fault, by the fault's name. */
export type FindingWords = z.infer<typeof words>;

export interface Seeds {
  readonly organisations: readonly SeedOrganisation[];
  readonly findings: FindingWords;
}

const ORGANISATIONS = ['shop', 'club', 'private-owner'];

/** Reads `seeds/` from the package; throws where a file does not have its shape. */
export function readSeeds(): Seeds {
  return {
    organisations: ORGANISATIONS.map((name) => seed.parse(seedFile(name))),
    findings: words.parse(seedFile('findings')),
  };
}

function seedFile(name: string): unknown {
  return JSON.parse(readFileSync(new URL(`../../../seeds/${name}.json`, import.meta.url), 'utf8'));
}
