import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { EVENT_MEMORY_DAYS } from '../../domain/round/advice-events.ts';
import type {
  CarFacts,
  EstimateFacts,
  OfferFacts,
  OwnerFacts,
} from '../../domain/round/car-facts.ts';
import type { LetterFigures } from '../../domain/figure-tables/letter-figures.ts';
import { figuresOf, letterFiguresOf } from '../../domain/figure-tables/letter-figures.ts';
import { warrantiesEnding } from '../../domain/round/occasions.ts';
import { openWork } from '../../domain/warranty/open-work.ts';
import type { EntryRow, FactRow } from './fact-row.ts';
import type { Told } from '../../domain/round/told.ts';
import { carOf, FACTS, ownerOf } from './fact-row.ts';
import { moveFactsOf } from './move-rows.ts';
import { askedToCareDays, careDayFactsOf } from '../care-days/place-rows.ts';
import { workOnTops } from '../visits/finding-rows.ts';
import { linesOf, waitingEstimates } from '../estimates/estimate-rows.ts';
import { groupBy } from '../database/group-by.ts';
import type { Sql } from '../database/sql.ts';
import { AMONG } from '../database/sql.ts';
import { holdCars } from '../database/car-lock.ts';

type OfferKind = OfferFacts['kind'];

export interface LoadedFacts {
  readonly cars: CarFacts[];
  readonly told: Told[];
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
  if (carIds.length === 0) return { cars: [], told: [] };
  if (lock) await holdCars(sql, carIds);
  const rows = await sql.all<FactRow>(`${FACTS} WHERE c."id" ${AMONG}`, [carIds]);
  const ownerIds = [...new Set(rows.map((row) => row.ownerId))];
  const told = await spokenTo(sql, ownerIds);
  const entries = groupBy(
    await sql.all<EntryRow>(
      `SELECT "carId", "position", "at", "damp", "coverOn" FROM "position_entry" WHERE "carId" ${AMONG} AND "withdrawnAt" IS NULL`,
      [carIds],
    ),
    (entry) => entry.carId,
  );
  const stiff = groupBy(
    await sql.all<{ carId: string; doneOn: string }>(
      `SELECT v."carId", r."doneOn" FROM "visit" v JOIN "reading" r ON r."visitId" = v."id" WHERE v."carId" ${AMONG} AND v."state" = 'done' AND r."state" = 'stiff' AND r."doneOn" >= ?`,
      [carIds, addDays(at.slice(0, 10), -EVENT_MEMORY_DAYS)],
    ),
    (reading) => reading.carId,
  );
  const sealMissing = groupBy(
    await sql.all<{ carId: string; doneOn: string }>(
      `SELECT v."carId", v."doneOn" FROM "visit" v JOIN "finding" f ON f."visitId" = v."id" WHERE v."carId" ${AMONG} AND v."state" = 'done' AND f."fault" = 'tailgate-seal-missing' AND f."outcome" <> 'done' AND v."doneOn" >= ?`,
      [carIds, addDays(at.slice(0, 10), -EVENT_MEMORY_DAYS)],
    ),
    (finding) => finding.carId,
  );
  const offers = await sql.all<{ carId: string; id: string; kind: OfferKind; weeks: string }>(
    `SELECT t."carId", f."id", f."kind", f."weeks" FROM "offer" f JOIN "top" t ON t."id" = f."topId" WHERE f."state" = 'open' AND t."retiredOn" IS NULL AND t."carId" ${AMONG}`,
    [carIds],
  );
  const offersOf = groupBy(offers, ({ carId }) => carId);
  const asked = groupBy(await askedToCareDays(sql, carIds), ({ carId }) => carId);
  const estimates = await estimatesByCar(sql, carIds);
  const moves = await moveFactsOf(sql, carIds);
  const toldByOwner = groupBy(told, (one) => one.ownerId);
  const owners = new Map<string, OwnerFacts>();
  const figures = figuresReader();
  const cars = rows.map((row) => {
    let owner = owners.get(row.ownerId);
    if (owner === undefined) {
      owner = ownerOf(row, toldByOwner.get(row.ownerId) ?? []);
      owners.set(row.ownerId, owner);
    }
    const facts = carOf(
      row,
      owner,
      figures(row.ownRules),
      {
        entries: entries.get(row.id) ?? [],
        stiff: stiff.get(row.id) ?? [],
        sealMissing: sealMissing.get(row.id) ?? [],
        offers: (offersOf.get(row.id) ?? []).map(({ id, kind, weeks }) => ({
          id,
          kind,
          weeks: JSON.parse(weeks) as string[],
        })),
        careDays: (asked.get(row.id) ?? []).map(careDayFactsOf),
        move: moves.get(row.id) ?? null,
      },
      at,
    );
    const waiting = estimates.get(row.id);
    return waiting === undefined ? facts : { ...facts, estimates: waiting };
  });
  return { cars: await withOpenNotes(sql, cars, at), told };
}

/** The estimates that wait, by car; their lines are asked for only where there are some. */
async function estimatesByCar(
  sql: Sql,
  carIds: readonly string[],
): Promise<Map<string, EstimateFacts[]>> {
  const rows = await waitingEstimates(sql, carIds);
  const lines = groupBy(
    await linesOf(
      sql,
      rows.map(({ id }) => id),
    ),
    ({ estimateId }) => estimateId,
  );
  const byCar = groupBy(rows, ({ carId }) => carId);
  return new Map(
    [...byCar].map(([carId, own]) => [
      carId,
      own.map((row): EstimateFacts => ({
        ...row,
        holdsUntil: row.holdsUntil ?? '',
        lines: (lines.get(row.id) ?? []) as unknown as EstimateFacts['lines'],
      })),
    ]),
  );
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
async function spokenTo(sql: Sql, ownerIds: readonly string[]): Promise<Told[]> {
  const rows = await sql.all<Omit<Told, 'started'> & { startedAt: string | null }>(
    `SELECT o."key", o."carId", o."ownerId", o."letterId", o."kind", l."messageId", l."state", l."plannedAt", l."notBefore", l."startedAt" FROM "letter_occasion" o JOIN "letter" l ON l."id" = o."letterId" WHERE o."ownerId" ${AMONG} AND l."state" <> 'cancelled'`,
    [ownerIds],
  );
  return rows.map(({ startedAt, ...row }) => Object.assign(row, { started: startedAt !== null }));
}
