import type { Day } from '../../domain/calendar/day.ts';
import { foldFloorOn } from '../../domain/advice/fold-floor.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { adviceEvents } from '../../domain/round/advice-events.ts';
import type {
  CareDayFacts,
  CarFacts,
  OfferFacts,
  OwnerFacts,
  TopFacts,
} from '../../domain/round/car-facts.ts';
import type { LetterFigures } from '../../domain/figure-tables/letter-figures.ts';
import { figuresOf } from '../../domain/figure-tables/letter-figures.ts';
import { askedSince } from '../../domain/lubrication/asked-since.ts';
import { mayMove } from '../../domain/may-move/may-move.ts';
import type { MoveFacts } from '../../domain/may-move/move-facts.ts';
import { FREE_TO_MOVE } from '../../domain/may-move/move-verdict.ts';
import { staysSince } from '../../domain/may-move/stays-since.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import type { Told } from '../../domain/round/told.ts';
import { heardFrom } from '../../domain/round/told.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import { letsOwnersBook } from '../../domain/organisation-kind.ts';
import { flag } from '../database/sql.ts';

/** All columns of a `FactRow`; to be narrowed by a WHERE over c (car) or o (owner). */
export const FACTS = `SELECT c."id", c."registration", c."timeZone", c."foldedLimitDays", c."foldFloorCelsius", c."place", c."salt", c."use", c."foldsPerYear", c."lookAt", c."ownerId", c."ownerSince",
  o."name" AS "ownerName", o."email", o."addressHash", o."timeZone" AS "ownerZone", o."language", o."erasedAt",
  g."id" AS "organisationId", g."name" AS "organisationName", g."kind" AS "organisationKind", g."postalAddress", g."phone", g."email" AS "organisationEmail", g."letterHours", g."nightAlarms", g."ownRules", d."takesBookings",
  s."refusedTopics", s."deadSince",
  t."id" AS "topId", t."fittedOn", t."lubricatedOn", t."intervalMonths", t."because", t."dueOn", t."material", t."window", t."powered", t."warranties", t."lookAfterOn",
  CASE WHEN t."lookAfterOn" IS NULL THEN NULL ELSE (SELECT MIN(CASE WHEN v."kind" = 'look' THEN t."lookAfterOn" ELSE v."plannedOn" END) FROM "visit" v WHERE v."carId" = c."id" AND v."state" = 'booked') END AS "lookBookedBy",
  (SELECT COUNT(*) FROM "visit" v WHERE v."carId" = c."id" AND v."state" = 'booked' AND v."kind" = 'lubrication') AS "booked"
FROM "car" c
JOIN "owner" o ON o."id" = c."ownerId"
JOIN "organisation" g ON g."id" = c."organisationId"
LEFT JOIN "diary" d ON d."organisationId" = g."id"
LEFT JOIN "address_standing" s ON s."organisationId" = c."organisationId" AND s."addressHash" = o."addressHash"
LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL`;

/** A car with its owner, organisation and fitted top, as the database gives it. */
export interface FactRow {
  id: string;
  registration: string;
  timeZone: string;
  foldedLimitDays: number;
  foldFloorCelsius: number | null;
  place: string | null;
  salt: string | null;
  use: string | null;
  foldsPerYear: number | null;
  lookAt: string | null;
  ownerId: string;
  ownerSince: string | null;
  ownerName: string;
  email: string;
  addressHash: string;
  ownerZone: string;
  language: string;
  erasedAt: string | null;
  organisationId: string;
  organisationName: string;
  organisationKind: string;
  postalAddress: string | null;
  phone: string | null;
  organisationEmail: string | null;
  letterHours: string;
  nightAlarms: unknown;
  ownRules: string;
  /** Read with `flag`; null where the organisation has not said. */
  takesBookings: unknown;
  refusedTopics: string | null;
  deadSince: string | null;
  topId: string | null;
  fittedOn: string;
  lubricatedOn: string | null;
  intervalMonths: number;
  because: string;
  dueOn: string;
  material: string;
  window: string;
  powered: unknown;
  warranties: string;
  booked: number;
  lookAfterOn: string | null;
  lookBookedBy: string | null;
}

/** A valid entry of the position log. */
export interface EntryRow {
  carId: string;
  position: string;
  at: string;
  damp: unknown;
  coverOn: unknown;
}

/** What was logged and found of a car. */
export interface CarLog {
  readonly entries: readonly EntryRow[];
  readonly stiff: readonly { doneOn: string }[];
  readonly sealMissing: readonly { doneOn: string }[];
  /** Weeks that stand on offer for its top. */
  readonly offers: readonly OfferFacts[];
  /** Care days on which its owner may choose a time. */
  readonly careDays: readonly CareDayFacts[];
  /** Null where no top is on the car. */
  readonly move: MoveFacts | null;
}

/** The owner in a row, with what was written to that owner. */
export function ownerOf(row: FactRow, told: readonly Told[]): OwnerFacts {
  return {
    id: row.ownerId,
    name: row.ownerName,
    email: row.email,
    addressHash: row.addressHash,
    timeZone: row.ownerZone,
    language: row.language,
    refusedTopics: JSON.parse(row.refusedTopics ?? '[]') as Topic[],
    unreachable: row.erasedAt !== null || row.deadSince !== null,
    ...heardFrom(row.ownerZone, told),
  };
}

/** The car in a row, with what was logged and found of it up to an instant. */
export function carOf(
  row: FactRow,
  owner: OwnerFacts,
  figures: LetterFigures | undefined,
  log: CarLog,
  at: Instant,
): CarFacts {
  const entries = log.entries.map((entry) => ({
    position: entry.position as CarFacts['entries'][number]['position'],
    at: entry.at,
    damp: flag(entry.damp),
    coverOn: entry.coverOn === null ? null : flag(entry.coverOn),
  }));
  const [from = '8', to = '20'] = row.letterHours.split('-');
  return {
    id: row.id,
    registration: row.registration,
    ...(row.ownerSince === null ? {} : { ownerSince: row.ownerSince }),
    timeZone: row.timeZone,
    foldedLimitDays: row.foldedLimitDays,
    keeping: {
      place: row.place as CarFacts['keeping']['place'],
      salt: row.salt as CarFacts['keeping']['salt'],
      use: row.use as CarFacts['keeping']['use'],
      ...(row.foldsPerYear === null ? {} : { foldsPerYear: row.foldsPerYear }),
    },
    entries,
    events: adviceEvents(
      {
        zone: row.timeZone,
        limitDays: row.foldedLimitDays,
        entries,
        stiffOn: log.stiff.map(({ doneOn }) => doneOn),
        sealMissingOn: log.sealMissing.map(({ doneOn }) => doneOn),
      },
      dayIn(row.timeZone, at),
      figuresOf({ figures }).folding,
    ),
    top: row.topId === null ? null : { ...topOf(row, row.topId, log.move), offers: log.offers },
    foldFloor:
      row.topId === null
        ? null
        : foldFloorOn(
            {
              material: row.material as 'vinyl' | 'cloth',
              window: row.window as 'glass' | 'glass-bonded' | 'clear-vinyl',
              fittedOn: row.fittedOn,
            },
            row.foldFloorCelsius,
            dayIn(row.timeZone, at),
            figuresOf({ figures }).foldFloor,
          ),
    mayMove:
      log.move === null
        ? FREE_TO_MOVE
        : mayMove(log.move, dayIn(row.timeZone, at), figuresOf({ figures })),
    ...staying(log.move, dayIn(row.timeZone, at), figuresOf({ figures })),
    ...(log.careDays.length === 0 ? {} : { careDays: log.careDays }),
    owner,
    organisation: {
      id: row.organisationId,
      name: row.organisationName,
      kind: row.organisationKind as CarFacts['organisation']['kind'],
      postalAddress: row.postalAddress,
      phone: row.phone,
      email: row.organisationEmail,
      letterHours: [Number(from), Number(to)],
      nightAlarms: flag(row.nightAlarms),
      takesBookings: letsOwnersBook(
        row.organisationKind as OrganisationKind,
        row.takesBookings === null ? null : flag(row.takesBookings),
      ),
      figures,
    },
    lookAt: row.lookAt,
  };
}

function staying(
  move: MoveFacts | null,
  today: Day,
  figures: LetterFigures,
): Pick<CarFacts, 'staysSince'> {
  const since = move === null ? null : staysSince(move, today, figures);
  return since === null ? {} : { staysSince: since };
}

function topOf(row: FactRow, id: string, move: MoveFacts | null): TopFacts {
  return {
    id,
    fittedOn: row.fittedOn,
    lastOn: row.lubricatedOn,
    intervalMonths: row.intervalMonths,
    because: JSON.parse(row.because) as string[],
    dueOn: row.dueOn,
    askedSince: askedSince(move?.pivots ?? [], row) ?? undefined,
    material: row.material as 'vinyl' | 'cloth',
    window: row.window as 'glass' | 'glass-bonded' | 'clear-vinyl',
    powered: flag(row.powered),
    warranties: JSON.parse(row.warranties) as { part: string; months: number }[],
    booked: row.booked > 0,
    lookAfterOn: row.lookAfterOn,
    lookBookedBy: row.lookBookedBy,
  };
}
