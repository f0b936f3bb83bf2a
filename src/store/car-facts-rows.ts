import type { Instant } from '../domain/calendar/instant.ts';
import { dayIn } from '../domain/calendar/zone.ts';
import { addDays } from '../domain/calendar/day.ts';
import { adviceEvents, EVENT_MEMORY_DAYS } from '../domain/round/advice-events.ts';
import type { CarFacts, OwnerFacts } from '../domain/round/car-facts.ts';
import type { LetterFigures } from '../domain/round/letter-figures.ts';
import { figuresOf, letterFiguresOf } from '../domain/round/letter-figures.ts';
import type { LetterKind, Topic } from '../domain/round/letter-kind.ts';
import { isAlarm } from '../domain/round/letter-kind.ts';
import { adviceIn, warrantiesEnding } from '../domain/round/occasions.ts';
import { openWork } from '../domain/warranty/open-work.ts';
import { workOnTops } from './finding-rows.ts';
import type { Sql } from './sql.ts';
import { flag, forUpdate, marks } from './sql.ts';

/** One occasion that was written about, and what became of its letter. */
export interface Spoken {
  readonly key: string;
  readonly carId: string | null;
  readonly ownerId: string;
  readonly letterId: string;
  readonly kind: LetterKind;
  readonly state: string;
  readonly notBefore: Instant;
  readonly started: boolean;
}

export interface LoadedFacts {
  readonly cars: CarFacts[];
  readonly spoken: Spoken[];
}

/**
 * Loads all that decides which letters these cars owe, in a fixed number of queries however many
 * cars there are (some hundreds at the most). Locks the cars, so that nothing can be recorded about
 * them between the decision and its writing.
 */
export async function loadCarFacts(
  sql: Sql,
  carIds: readonly string[],
  at: Instant,
  lock = true,
): Promise<LoadedFacts> {
  if (carIds.length === 0) return { cars: [], spoken: [] };
  if (lock && sql.dialect === 'postgresql') {
    await sql.all(
      `SELECT "id" FROM "car" WHERE "id" IN (${marks(carIds.length)}) ORDER BY "id"${forUpdate(sql)}`,
      carIds,
    );
  }
  const rows = await sql.all<FactRow>(`${FACTS} WHERE c."id" IN (${marks(carIds.length)})`, carIds);
  const ownerIds = [...new Set(rows.map((row) => row.ownerId))];
  const spoken = await spokenTo(sql, ownerIds);
  const entries = groupBy(
    await sql.all<EntryRow>(
      `SELECT "carId", "position", "at", "damp", "coverOn" FROM "position_entry" WHERE "carId" IN (${marks(carIds.length)}) AND "withdrawnAt" IS NULL`,
      carIds,
    ),
    (entry) => entry.carId,
  );
  const stiff = groupBy(
    await sql.all<{ carId: string; doneOn: string }>(
      `SELECT v."carId", r."doneOn" FROM "visit" v JOIN "reading" r ON r."visitId" = v."id" WHERE v."carId" IN (${marks(carIds.length)}) AND v."state" = 'done' AND r."state" = 'stiff' AND r."doneOn" >= ?`,
      [...carIds, addDays(at.slice(0, 10), -EVENT_MEMORY_DAYS)],
    ),
    (reading) => reading.carId,
  );
  const sealMissing = groupBy(
    await sql.all<{ carId: string; doneOn: string }>(
      `SELECT v."carId", v."doneOn" FROM "visit" v JOIN "finding" f ON f."visitId" = v."id" WHERE v."carId" IN (${marks(carIds.length)}) AND v."state" = 'done' AND f."fault" = 'tailgate-seal-missing' AND f."outcome" <> 'done' AND v."doneOn" >= ?`,
      [...carIds, addDays(at.slice(0, 10), -EVENT_MEMORY_DAYS)],
    ),
    (finding) => finding.carId,
  );
  const spokenByOwner = groupBy(spoken, (said) => said.ownerId);
  const owners = new Map<string, OwnerFacts>();
  const figures = figuresReader();
  const cars = rows.map((row) => {
    let owner = owners.get(row.ownerId);
    if (owner === undefined) {
      owner = ownerOf(row, spokenByOwner.get(row.ownerId) ?? []);
      owners.set(row.ownerId, owner);
    }
    return carOf(
      row,
      owner,
      figures(row.ownRules),
      {
        entries: entries.get(row.id) ?? [],
        stiff: stiff.get(row.id) ?? [],
        sealMissing: sealMissing.get(row.id) ?? [],
      },
      at,
    );
  });
  return { cars: await withOpenNotes(sql, cars, at), spoken };
}

/** Own figures are worked out once for all cars of an organisation; most have none. */
function figuresReader(): (ownRules: string) => LetterFigures | undefined {
  const known = new Map<string, LetterFigures>();
  return (ownRules) => {
    if (ownRules === '{}') return undefined;
    const figures =
      known.get(ownRules) ?? letterFiguresOf(JSON.parse(ownRules) as Record<string, number>);
    known.set(ownRules, figures);
    return figures;
  };
}

/** Loads what is still open only for tops with a warranty near its end: no other letter asks. */
async function withOpenNotes(sql: Sql, cars: CarFacts[], at: Instant): Promise<CarFacts[]> {
  const ending = new Set(
    cars.flatMap(({ top, owner, organisation }) => {
      if (top === null || top.warranties.length === 0) return [];
      const { round } = figuresOf(organisation);
      return warrantiesEnding(top, dayIn(owner.timeZone, at), round).length > 0 ? [top.id] : [];
    }),
  );
  if (ending.size === 0) return cars;
  const found = await workOnTops(sql, [...ending]);
  return cars.map((car) => {
    const { top } = car;
    if (top === null || !ending.has(top.id)) return car;
    const openNotes = openWork(found.filter(({ topId }) => topId === top.id)).map(
      ({ advised }) => advised,
    );
    return { ...car, top: { ...top, openNotes } };
  });
}

/** What was written to these owners, cancelled letters left out: they count as never written. */
async function spokenTo(sql: Sql, ownerIds: readonly string[]): Promise<Spoken[]> {
  const rows = await sql.all<Omit<Spoken, 'started'> & { startedAt: string | null }>(
    `SELECT o."key", o."carId", o."ownerId", o."letterId", o."kind", l."state", l."notBefore", l."startedAt" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."ownerId" IN (${marks(ownerIds.length)}) AND l."state" <> 'cancelled'`,
    ownerIds,
  );
  return rows.map(({ startedAt, ...row }) => Object.assign(row, { started: startedAt !== null }));
}

const FACTS = `SELECT c."id", c."registration", c."timeZone", c."foldedLimitDays", c."place", c."salt", c."use", c."foldsPerYear", c."lookAt", c."ownerId",
  o."name" AS "ownerName", o."email", o."addressHash", o."timeZone" AS "ownerZone", o."language", o."erasedAt",
  g."id" AS "organisationId", g."name" AS "organisationName", g."kind" AS "organisationKind", g."postalAddress", g."phone", g."email" AS "organisationEmail", g."letterHours", g."nightAlarms", g."ownRules",
  s."refusedTopics", s."deadSince",
  t."id" AS "topId", t."fittedOn", t."lubricatedOn", t."intervalMonths", t."because", t."dueOn", t."material", t."window", t."powered", t."warranties",
  (SELECT COUNT(*) FROM "visit" v WHERE v."carId" = c."id" AND v."state" = 'booked' AND v."kind" = 'lubrication') AS "booked"
FROM "car" c
JOIN "owner" o ON o."id" = c."ownerId"
JOIN "organisation" g ON g."id" = c."organisationId"
LEFT JOIN "address_standing" s ON s."organisationId" = c."organisationId" AND s."addressHash" = o."addressHash"
LEFT JOIN "top" t ON t."carId" = c."id" AND t."retiredOn" IS NULL`;

interface FactRow {
  id: string;
  registration: string;
  timeZone: string;
  foldedLimitDays: number;
  place: string;
  salt: string;
  use: string;
  foldsPerYear: number | null;
  lookAt: string | null;
  ownerId: string;
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
}

interface EntryRow {
  carId: string;
  position: string;
  at: string;
  damp: unknown;
  coverOn: unknown;
}

/** What was logged and found of a car. */
interface CarLog {
  readonly entries: readonly EntryRow[];
  readonly stiff: readonly { doneOn: string }[];
  readonly sealMissing: readonly { doneOn: string }[];
}

function ownerOf(row: FactRow, spoken: readonly Spoken[]): OwnerFacts {
  const dayOf = ({ notBefore }: Spoken) => dayIn(row.ownerZone, notBefore);
  const adviceSent = spoken
    .filter((said) => said.kind === 'care-note')
    .map((said) => ({ ...adviceIn(said.key), on: dayOf(said) }));
  return {
    id: row.ownerId,
    name: row.ownerName,
    email: row.email,
    addressHash: row.addressHash,
    timeZone: row.ownerZone,
    language: row.language,
    refusedTopics: JSON.parse(row.refusedTopics ?? '[]') as Topic[],
    unreachable: row.erasedAt !== null || row.deadSince !== null,
    lastCareOn: latest(adviceSent.map(({ on }) => on)),
    lastAlarmOn: latest(spoken.filter(({ kind }) => isAlarm(kind)).map(dayOf)),
    adviceSent,
  };
}

function carOf(
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
    top: row.topId === null ? null : topOf(row, row.topId),
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
      figures,
    },
    lookAt: row.lookAt,
  };
}

function topOf(row: FactRow, id: string): CarFacts['top'] {
  return {
    id,
    fittedOn: row.fittedOn,
    lastOn: row.lubricatedOn,
    intervalMonths: row.intervalMonths,
    because: JSON.parse(row.because) as string[],
    dueOn: row.dueOn,
    material: row.material as 'vinyl' | 'cloth',
    window: row.window as 'glass' | 'glass-bonded' | 'clear-vinyl',
    powered: flag(row.powered),
    warranties: JSON.parse(row.warranties) as { part: string; months: number }[],
    booked: row.booked > 0,
  };
}

function latest(days: readonly string[]): string | null {
  return days.reduce<string | null>((last, on) => (last === null || on > last ? on : last), null);
}

function groupBy<Row>(rows: readonly Row[], keyOf: (row: Row) => string): Map<string, Row[]> {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const key = keyOf(row);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [row]);
    else group.push(row);
  }
  return groups;
}
