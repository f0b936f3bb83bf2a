import { ORGANISATION_KINDS } from '../../domain/organisation-kind.ts';
import { z } from 'zod';
import { CALL_OUTCOMES } from '../../domain/calls/earlier-calls.ts';
import { figureNamed, ownFigureProblem } from '../../domain/figure-tables/figure-tables.ts';
import { LARGEST_PRICE, LARGEST_TAX_RATE } from '../../domain/money/amount.ts';
import { ANSWERS, ESTIMATE_STATES, LINE_KINDS } from '../../domain/estimates/estimate.ts';
import { LARGEST_QUANTITY } from '../../domain/money/sums.ts';
import { isCurrency } from '../../domain/money/currency.ts';
import { POSITIONS } from '../../domain/folding/position-log.ts';
import { PIVOT_KINDS } from '../../domain/pivots/frame-patterns.ts';
import { CLUB_LETTER_SUBJECT, CLUB_LETTER_TEXT } from '../../domain/letters/club-letter.ts';
import { LETTER_KINDS, TOPICS } from '../../domain/round/letter-kind.ts';
import { LETTER_STATES } from '../letters/read-letters.ts';
import {
  carWords,
  coverMaterial,
  day,
  diagonalMm,
  email,
  findingFields,
  handbookFields,
  instant,
  keepingFields,
  line,
  ownerFields,
  patternName,
  patternPivotFields,
  prose,
  readingFields,
  registration,
  timeZone,
  topWords,
  language,
  openHours,
  timeOfDay,
  logo,
  visitMeasures,
  warranties,
  windowKind,
} from './record-fields.ts';
import { FINDING_OUTCOMES, VISIT_KINDS, VISIT_STATES } from '../own/visit-records.ts';

/** One kind of record in an export: where it is stored, and what each of its columns may hold. */
export interface RecordSet {
  /** Its name in the document. */
  readonly name: string;
  readonly table: string;
  readonly shape: z.ZodObject;
  /** The columns of its key; records come in this order, and no two have the same. */
  readonly key: readonly string[];
  /** How many are read or written at a time, where they are large. */
  readonly atOnce?: number;
  /** Columns in which the database keeps JSON as text. */
  readonly json?: readonly string[];
  /** Columns that hold yes or no, which SQLite keeps as 1 or 0. */
  readonly flags?: readonly string[];
  /** Columns that name a record of another set of the same organisation by its id. */
  readonly refers?: Readonly<Record<string, string>>;
  /** Columns whose value no other record may have, whichever organisation it belongs to. */
  readonly unique?: readonly string[];
}

/** A record of an export, its columns as the shape of its set says. */
export type SetRecord = Readonly<Record<string, unknown>>;

/** An organisation of an export with its records, set by set. */
export interface OrganisationRecords {
  readonly organisation: SetRecord;
  readonly sets: ReadonlyMap<string, readonly SetRecord[]>;
}

const id = z.string().min(1).max(64);
const word = z.string().min(1).max(80);
const count = z.int().min(0);
const version = z.int().min(1);
const pixels = z
  .string()
  .max(4_000_000)
  .regex(/^[A-Za-z0-9_-]+$/, 'Give a picture in base64url.');
const price = z.int().min(0).max(LARGEST_PRICE);
const taxRate = z.int().min(0).max(LARGEST_TAX_RATE);
const currency = z.string().refine(isCurrency, 'Give a currency of ISO 4217, such as EUR.');
const addressHash = z.string().regex(/^[0-9a-f]{64}$/, 'Give a SHA-256 in hexadecimal digits.');
const letterText = z.string().max(400_000);
/** The fields of a record as its table holds them: what need not be said is null. */
const asStored = (fields: Readonly<Record<string, z.ZodType>>): Record<string, z.ZodType> =>
  Object.fromEntries(
    Object.entries(fields).map(([name, field]) => [
      name,
      field instanceof z.ZodOptional ? (field.unwrap() as z.ZodType).nullable() : field,
    ]),
  );

const orNull = <T extends z.ZodType>(field: z.ZodOptional<T>) => field.unwrap().nullable();

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
  flags: ['nightAlarms'],
  shape: z.strictObject({
    id,
    name: line(200),
    kind: z.enum(ORGANISATION_KINDS),
    timeZone,
    language,
    postalAddress: prose(500).nullable(),
    phone: line(50).nullable(),
    email: email.nullable(),
    logo: logo.nullable().default(null),
    letterHours: z.string().refine((hours) => {
      const [, from, to] = /^(\d{1,2})-(\d{1,2})$/.exec(hours) ?? [];
      return from !== undefined && Number(from) < Number(to) && Number(to) <= 24;
    }, 'Give two hours of the day, as 8-20.'),
    nightAlarms: z.boolean(),
    ownRules,
    createdAt: instant,
    version,
  }),
} as const;

/**
 * Every kind of record that goes into an export and comes back from it, each after those it refers
 * to. What is left out on purpose: keys, links and sessions (they open doors), what owners share with others (it binds two organisations), answers kept for
 * repeated requests, leases and next tries of letters (they belong to a running server), and columns
 * that follow from others.
 */
export const RECORD_SETS: readonly RecordSet[] = [
  {
    name: 'owners',
    table: 'owner',
    key: ['id'],
    flags: ['refusesCalls'],
    shape: z.strictObject({
      id,
      name: ownerFields.name,
      email,
      phone: orNull(ownerFields.phone),
      timeZone,
      language,
      refusesCalls: z.boolean(),
      createdAt: instant,
      erasedAt: instant.nullable(),
      version,
      postalAddress: orNull(ownerFields.postalAddress).default(null),
      postcode: orNull(ownerFields.postcode).default(null),
      linksRevokedAt: instant.nullable().default(null),
    }),
  },
  {
    name: 'cars',
    table: 'car',
    key: ['id'],
    refers: { ownerId: 'owners' },
    shape: z.strictObject({
      id,
      ownerId: id,
      registration,
      timeZone,
      ...asStored(handbookFields),
      foldedLimitDays: handbookFields.foldedLimitDays.unwrap(),
      ...asStored(keepingFields),
      createdAt: instant,
      version,
      make: orNull(carWords.make).default(null),
      model: orNull(carWords.model).default(null),
      year: orNull(carWords.year).default(null),
      colour: orNull(carWords.colour).default(null),
    }),
  },
  {
    name: 'framePatterns',
    table: 'frame_pattern',
    key: ['id'],
    json: ['pivots'],
    shape: z.strictObject({
      id,
      name: patternName,
      pivots: z.array(z.strictObject(patternPivotFields)).min(1).max(60),
      createdAt: instant,
      version,
    }),
  },
  {
    name: 'tops',
    table: 'top',
    key: ['id'],
    json: ['warranties', 'because'],
    flags: ['powered'],
    refers: { carId: 'cars' },
    shape: z.strictObject({
      id,
      carId: id,
      fittedOn: day,
      retiredOn: day.nullable(),
      framePattern: patternName,
      material: coverMaterial,
      window: windowKind,
      powered: z.boolean(),
      warranties,
      lubricatedOn: day.nullable(),
      intervalMonths: z.int().min(1).max(120),
      because: z.array(z.string().max(500)).max(50),
      dueOn: day,
      lookAfterOn: day.nullable().default(null),
      createdAt: instant,
      version,
      coverName: orNull(topWords.coverName).default(null),
      coverColour: orNull(topWords.coverColour).default(null),
      makersReference: orNull(topWords.makersReference).default(null),
      windowMade: orNull(topWords.windowMade).default(null),
      withdrawnAt: instant.nullable().default(null),
    }),
  },
  {
    name: 'pivots',
    table: 'pivot',
    key: ['id'],
    refers: { carId: 'cars' },
    shape: z.strictObject({
      id,
      carId: id,
      code: patternPivotFields.code,
      side: patternPivotFields.side,
      kind: z.enum(PIVOT_KINDS),
      washersExpected: patternPivotFields.washersExpected,
      place: count,
      since: day,
      retiredOn: day.nullable(),
    }),
  },
  {
    name: 'visits',
    table: 'visit',
    key: ['id'],
    refers: { topId: 'tops', carId: 'cars' },
    shape: z.strictObject({
      id,
      topId: id,
      carId: id,
      kind: z.enum(VISIT_KINDS),
      state: z.enum(VISIT_STATES),
      plannedOn: day.nullable(),
      dropOffAt: instant.nullable().default(null),
      readyAt: instant.nullable().default(null),
      doneOn: day.nullable(),
      minutes: orNull(visitMeasures.minutes),
      swayMm: orNull(visitMeasures.swayMm),
      diagonalLeftMm: diagonalMm.nullable(),
      diagonalRightMm: diagonalMm.nullable(),
      breakawayN: orNull(visitMeasures.breakawayN),
      notes: orNull(visitMeasures.notes),
      createdAt: instant,
      changedAt: instant.nullable(),
      version,
      closedBy: id.nullable().default(null),
    }),
  },
  {
    name: 'readings',
    table: 'reading',
    key: ['id'],
    flags: ['oiled', 'repaired'],
    refers: { visitId: 'visits', pivotId: 'pivots' },
    shape: z.strictObject({
      id,
      visitId: id,
      pivotId: id,
      doneOn: day,
      state: readingFields.state,
      oiled: z.boolean(),
      repaired: z.boolean(),
      lubricant: orNull(readingFields.lubricant),
      washersPresent: orNull(readingFields.washersPresent),
      axialPlayMm: orNull(readingFields.axialPlayMm),
      radialPlayMm: orNull(readingFields.radialPlayMm),
    }),
  },
  {
    name: 'findings',
    table: 'finding',
    key: ['id'],
    refers: { visitId: 'visits', topId: 'tops' },
    shape: z.strictObject({
      id,
      visitId: id,
      topId: id,
      fault: orNull(findingFields.fault),
      pivotCode: orNull(findingFields.pivot),
      text: findingFields.text,
      advised: orNull(findingFields.advised),
      outcome: z.enum(FINDING_OUTCOMES),
      decidedOn: day.nullable(),
    }),
  },
  {
    name: 'positionEntries',
    table: 'position_entry',
    key: ['id'],
    flags: ['damp', 'coverOn'],
    refers: { carId: 'cars' },
    shape: z.strictObject({
      id,
      carId: id,
      position: z.enum(POSITIONS),
      at: instant,
      damp: z.boolean(),
      coverOn: z.boolean().nullable(),
      recordedAt: instant,
      recordedBy: word,
      withdrawnAt: instant.nullable(),
    }),
  },
  {
    name: 'addressStandings',
    table: 'address_standing',
    key: ['addressHash'],
    json: ['refusedTopics', 'softFailures'],
    shape: z.strictObject({
      addressHash,
      refusedTopics: z.array(z.enum(TOPICS)),
      deadSince: instant.nullable(),
      deadWhy: z.string().max(4_000).nullable(),
      softFailures: z.array(z.unknown()).max(200),
      clearedAt: instant.nullable(),
      clearedWords: z.string().max(4_000).nullable(),
    }),
  },
  {
    name: 'consents',
    table: 'consent_entry',
    key: ['id'],
    flags: ['given'],
    refers: { ownerId: 'owners' },
    shape: z.strictObject({
      id,
      addressHash,
      ownerId: id.nullable(),
      topic: z.enum(TOPICS),
      given: z.boolean(),
      at: instant,
      by: word,
      words: z.string().max(4_000),
    }),
  },
  {
    name: 'letters',
    table: 'letter',
    key: ['id'],
    refers: { ownerId: 'owners' },
    unique: ['messageId'],
    shape: z.strictObject({
      id,
      ownerId: id,
      kind: z.enum(LETTER_KINDS),
      state: z.enum(LETTER_STATES),
      cancelledWhy: z.string().max(400).nullable(),
      language,
      toName: line(200),
      toAddress: email,
      addressHash,
      topic: z.string().max(40),
      subject: line(1_000),
      text: letterText,
      html: letterText,
      calendar: letterText.nullable(),
      messageId: line(400),
      messageDate: instant,
      refersTo: z.string().max(8_000).nullable().default(null),
      plannedAt: instant,
      notBefore: instant,
      attempts: count,
      // Documents made before this column was added are without it.
      firstTriedAt: instant.nullable().default(null),
      startedAt: instant.nullable(),
      settledAt: instant.nullable(),
      resends: count,
      response: z.string().max(10_000).nullable(),
      fault: z.string().max(10_000).nullable(),
    }),
  },
  {
    name: 'letterOccasions',
    table: 'letter_occasion',
    key: ['key'],
    refers: { letterId: 'letters', ownerId: 'owners', carId: 'cars' },
    unique: ['key'],
    shape: z.strictObject({
      key: z.string().min(1).max(400),
      letterId: id,
      ownerId: id,
      carId: id.nullable(),
      kind: z.enum(LETTER_KINDS),
    }),
  },
  {
    name: 'diary',
    table: 'diary',
    key: ['weekdays'],
    json: ['weekdays', 'hours'],
    flags: ['takesBookings'],
    shape: z.strictObject({
      weekdays: z.array(z.int().min(1).max(7)).max(7),
      hours: openHours.default({}),
      country: word.nullable().default(null),
      state: word.nullable().default(null),
      region: word.nullable().default(null),
      takesBookings: z.boolean().nullable().default(null),
      version,
    }),
  },
  {
    name: 'closures',
    table: 'closure',
    key: ['id'],
    shape: z.strictObject({ id, fromOn: day, untilOn: day, words: z.string().max(400) }),
  },
  {
    name: 'offers',
    table: 'offer',
    key: ['id'],
    json: ['weeks'],
    refers: { topId: 'tops', visitId: 'visits' },
    shape: z.strictObject({
      id,
      topId: id,
      week: word,
      weeks: z.array(word).max(60),
      dueOn: day,
      kind: z.enum(['lubrication', 'look']).default('lubrication'),
      state: z.enum(['open', 'taken', 'withdrawn']),
      offeredAt: instant,
      endedAt: instant.nullable(),
      visitId: id.nullable(),
    }),
  },
  {
    name: 'calls',
    table: 'call_entry',
    key: ['id'],
    refers: { carId: 'cars', ownerId: 'owners' },
    shape: z.strictObject({
      id,
      carId: id,
      ownerId: id,
      calledOn: day,
      outcome: z.enum(CALL_OUTCOMES),
      notes: z.string().max(4_000).nullable(),
      recordedAt: instant,
    }),
  },
  {
    name: 'careDays',
    table: 'care_day',
    key: ['id'],
    json: ['breaks', 'helpers'],
    shape: z.strictObject({
      id,
      heldOn: day,
      place: line(200),
      fromTime: timeOfDay,
      untilTime: timeOfDay,
      breaks: z.array(z.strictObject({ from: timeOfDay, until: timeOfDay })),
      benches: z.int().min(1).max(20),
      helpers: z.array(z.strictObject({ id, name: line(80), from: timeOfDay, until: timeOfDay })),
      handMinutes: count,
      poweredMinutes: count,
      stepMinutes: z.int().min(5).max(60),
      state: z.enum(['planned', 'open', 'called-off']),
      createdAt: instant,
      version,
    }),
  },
  {
    name: 'clubLetters',
    table: 'club_letter',
    key: ['id'],
    shape: z.strictObject({
      id,
      subject: line(CLUB_LETTER_SUBJECT),
      text: z.string().min(1).max(CLUB_LETTER_TEXT),
      createdAt: instant,
      sentAt: instant.nullable(),
      withdrawnAt: instant.nullable(),
      version,
    }),
  },
  {
    name: 'careDayPlaces',
    table: 'care_day_place',
    key: ['id'],
    refers: { careDayId: 'careDays', carId: 'cars', visitId: 'visits' },
    shape: z.strictObject({
      id,
      careDayId: id,
      carId: id,
      answer: z.enum(['asked', 'waiting', 'declined']),
      asked: count,
      waitingSince: instant.nullable(),
      visitId: id.nullable(),
      bench: count.nullable(),
      helperId: id.nullable(),
      minutes: count.nullable(),
      createdAt: instant,
      version,
    }),
  },
  {
    name: 'partWishes',
    table: 'part_wish',
    key: ['careDayId', 'carId', 'part'],
    refers: { careDayId: 'careDays', carId: 'cars' },
    shape: z.strictObject({
      careDayId: id,
      carId: id,
      part: word,
      pieces: count,
      changedAt: instant,
    }),
  },
  {
    name: 'stock',
    table: 'stock',
    key: ['part'],
    shape: z.strictObject({
      part: word,
      // More may have been taken than had been counted.
      inHand: z.int(),
      onOrder: z.int(),
      leadWeeks: z.number().min(0).nullable(),
      version,
      unitPrice: price.nullable().default(null),
    }),
  },
  {
    name: 'priceSettings',
    table: 'price_setting',
    key: ['currency'],
    shape: z.strictObject({
      currency,
      hourRate: price.nullable(),
      taxRate: taxRate.nullable(),
      taxName: line(40).nullable(),
      version,
    }),
  },
  {
    name: 'partOrders',
    table: 'part_order',
    key: ['id'],
    shape: z.strictObject({
      id,
      part: word,
      pieces: count,
      orderedOn: day,
      expectedOn: day.nullable(),
      words: line(200).nullable(),
      receivedOn: day.nullable(),
      receivedPieces: count.nullable(),
      calledOffOn: day.nullable(),
      version,
    }),
  },
  {
    name: 'partUses',
    table: 'part_use',
    key: ['visitId', 'part'],
    refers: { visitId: 'visits' },
    shape: z.strictObject({ visitId: id, part: word, pieces: count, takenOn: day }),
  },
  {
    name: 'estimates',
    table: 'estimate',
    key: ['id'],
    refers: { carId: 'cars', topId: 'tops', ownerId: 'owners' },
    shape: z.strictObject({
      id,
      number: z.int().min(1),
      carId: id,
      topId: id,
      ownerId: id,
      state: z.enum(ESTIMATE_STATES),
      currency,
      taxRate: taxRate.nullable(),
      taxName: line(40).nullable(),
      words: prose(2_000).nullable(),
      madeOn: day,
      sentAt: instant.nullable(),
      holdsUntil: day.nullable(),
      answeredAt: instant.nullable(),
      replaces: id.nullable(),
      version,
    }),
  },
  {
    name: 'estimateLines',
    table: 'estimate_line',
    key: ['id'],
    json: ['pivots', 'findings'],
    flags: ['strips'],
    refers: { estimateId: 'estimates' },
    shape: z.strictObject({
      id,
      estimateId: id,
      place: count,
      work: count,
      kind: z.enum(LINE_KINDS),
      text: prose(1_000),
      quantity: count.max(LARGEST_QUANTITY),
      unitPrice: price.nullable(),
      fault: word.nullable(),
      pivots: z.array(word).max(60),
      findings: z.array(id).max(200),
      part: word.nullable(),
      strips: z.boolean(),
      answer: z.enum(ANSWERS).nullable(),
    }),
  },
  {
    name: 'photos',
    table: 'photo',
    key: ['id'],
    flags: ['inLetter'],
    refers: { carId: 'cars', visitId: 'visits' },
    shape: z.strictObject({
      id,
      carId: id,
      visitId: id.nullable(),
      pivotCode: word.nullable(),
      words: line(200).nullable(),
      takenOn: day,
      inLetter: z.boolean(),
      width: count,
      height: count,
      recordedAt: instant,
      removedAt: instant.nullable(),
      version,
    }),
  },
  {
    name: 'photoData',
    table: 'photo_data',
    key: ['photoId'],
    atOnce: 20,
    refers: { photoId: 'photos' },
    shape: z.strictObject({ photoId: id, large: pixels, small: pixels }),
  },
  {
    name: 'figureChanges',
    table: 'shop_rule_change',
    key: ['id'],
    shape: z.strictObject({
      id,
      keyId: word,
      changedAt: instant,
      figure: word,
      was: z.number().nullable(),
      becomes: z.number().nullable(),
      version,
    }),
  },
  {
    name: 'reports',
    table: 'report',
    key: ['digest'],
    refers: { letterId: 'letters' },
    shape: z.strictObject({
      digest: word,
      letterId: id,
      kind: word,
      verdict: word,
      words: z.string().max(10_000),
      receivedAt: instant,
    }),
  },
  {
    name: 'wordings',
    table: 'wording',
    key: ['kind', 'language', 'slot'],
    shape: z.strictObject({
      kind: z.enum(LETTER_KINDS),
      language,
      slot: word,
      text: z.string().max(20_000),
      changedAt: instant,
    }),
  },
  {
    name: 'trail',
    table: 'trail',
    key: ['id'],
    shape: z.strictObject({
      id,
      at: instant,
      author: word,
      authorName: z.string().max(300),
      kind: word,
      recordId: z.string().max(200),
      action: word,
      carId: id.nullable(),
      ownerId: id.nullable(),
      visitId: id.nullable(),
      personId: id.nullable().default(null),
      was: z.string().max(400_000).nullable(),
      becomes: z.string().max(400_000).nullable(),
    }),
  },
];

/** The columns of a set in the order in which they are written. */
export function columnsOf(set: { readonly shape: z.ZodObject }): string[] {
  return Object.keys(set.shape.shape);
}
