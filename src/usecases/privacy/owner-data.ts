import type { Instant } from '../../domain/calendar/instant.ts';
import type { CarSpan, Sale } from '../../domain/privacy/car-spans.ts';
import { carSpans, hadCarAt } from '../../domain/privacy/car-spans.ts';
import { DATA_KINDS } from '../../domain/privacy/data-kinds.ts';
import type { AnyRow } from '../../store/privacy/owner-data-rows.ts';
import { ownerRows, salesOf } from '../../store/privacy/owner-data-rows.ts';
import { pageCars } from '../../store/cars/owner-page-rows.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { withoutTokens } from '../context/links.ts';
import { ownOwner } from '../own/owner-records.ts';
import { withoutUnseen } from './unseen-rows.ts';
import { showOrganisation } from '../organisations/organisations.ts';

/** All that is held about one owner, table by table, under the names of the columns. */
export interface OwnerDataRecord {
  readonly format: 'foldkeep-owner-data';
  readonly version: 1;
  readonly madeAt: Instant;
  readonly organisation: {
    readonly id: string;
    readonly name: string;
    readonly postalAddress: string | null;
    readonly email: string | null;
    readonly phone: string | null;
  };
  readonly ownerId: string;
  /**
   * What is not in it: `positions` where a club asks of a member who has not shown it where her tops
   * stand, whether or not anything is recorded of that. Her own file leaves nothing out.
   */
  readonly leftOut: 'positions'[];
  readonly records: Record<string, Record<string, unknown>[]>;
}

/**
 * An owner's data for whoever may export: everything of every table that is about her. A club is given
 * no position that she did not share with it, and is told so.
 */
export async function exportOwnerData(
  context: Context,
  caller: Caller,
  ownerId: string,
): Promise<OwnerDataRecord> {
  requireRight(caller, 'keep-people');
  const owner = await ownOwner(context.store.records, caller, ownerId);
  return gather(context, caller, owner, (rows, cars) =>
    withoutUnseen(context.store.sql, owner.id, cars, rows),
  );
}

/**
 * An owner's data for herself: everything about her and nothing about others: of a car that changed hands, what was recorded
 * in her time alone; of other people, that somebody of the organisation did a thing and not who. Secrets and
 * their hashes are left out, and so are the tokens of links.
 */
export async function ownerData(
  context: Context,
  caller: Caller,
  owner: OwnerRow,
): Promise<OwnerDataRecord> {
  return gather(context, caller, owner, (rows) => Promise.resolve({ rows, leftOut: [] }));
}

type Rows = Readonly<Record<string, readonly AnyRow[]>>;

async function gather(
  context: Context,
  caller: Caller,
  owner: OwnerRow,
  seen: (
    rows: Rows,
    carIds: readonly string[],
  ) => Promise<{ readonly rows: Rows } & Pick<OwnerDataRecord, 'leftOut'>>,
): Promise<OwnerDataRecord> {
  const { sql } = context.store;
  const organisation = await showOrganisation(context, caller);
  const { name, postalAddress, email, phone } = organisation;
  const cars = await pageCars(sql, owner.organisationId, owner.id);
  const now = cars.map((car) => car.id);
  const sales = (await salesOf(sql, owner.organisationId, owner.id)).flatMap(saleOf);
  const spans = carSpans(owner.id, now, sales);
  const ever = [...new Set(spans.map(({ carId }) => carId))];
  const rows = await ownerRows(sql, owner, { now, ever });
  const { rows: hers, leftOut } = await seen(inHerTime(rows, spans, owner.id), ever);
  const records = Object.fromEntries(
    TABLES.map(({ table, columns }) => [
      table,
      (hers[table] ?? []).map((row) => told(row, columns, owner.id)),
    ]),
  );
  return {
    format: 'foldkeep-owner-data',
    version: 1,
    madeAt: context.now(),
    organisation: { id: owner.organisationId, name, postalAddress, email, phone },
    ownerId: owner.id,
    leftOut,
    records,
  };
}

const TABLES = DATA_KINDS.filter(({ about }) => about === 'owner').flatMap(({ columns }) => {
  // What a letter says is read with it.
  const { letter_body: says, ...tables } = columns;
  return Object.entries(tables).map(([table, names]) => ({
    table,
    columns: table === 'letter' && says !== undefined ? [...names, ...says] : names,
  }));
});

function saleOf(row: Awaited<ReturnType<typeof salesOf>>[number]): Sale[] {
  const [was, becomes] = [JSON.parse(row.was), JSON.parse(row.becomes)] as Record<
    string,
    unknown
  >[];
  const [seller, buyer] = [was?.['ownerId'], becomes?.['ownerId']];
  if (typeof seller !== 'string' || typeof buyer !== 'string') return [];
  return [{ carId: row.carId, at: row.at, seller, buyer }];
}

/** Leaves out what was recorded of a car in another's time. */
function inHerTime(rows: Rows, spans: readonly CarSpan[], ownerId: string): Rows {
  const within = (table: string, at: string) =>
    (rows[table] ?? []).filter((row) => hadCarAt(spans, textOf(row, 'carId'), textOf(row, at)));
  const visits = within('visit', 'createdAt');
  const ids = new Set(visits.map((row) => row['id']));
  const ofVisits = (table: string) =>
    (rows[table] ?? []).filter((row) => ids.has(row['visitId'] ?? null));
  const photos = within('photo', 'recordedAt');
  const shown = new Set(photos.map((row) => row['id']));
  return {
    ...rows,
    position_entry: within('position_entry', 'recordedAt').filter(
      (row) => !isOtherOwner(row['recordedBy'], ownerId),
    ),
    visit: visits,
    reading: ofVisits('reading'),
    finding: ofVisits('finding'),
    part_use: ofVisits('part_use'),
    offer: within('offer', 'offeredAt'),
    photo: photos,
    photo_data: (rows['photo_data'] ?? []).filter((row) => shown.has(row['photoId'] ?? null)),
    care_day_place: within('care_day_place', 'createdAt'),
    part_wish: within('part_wish', 'changedAt'),
    trail: (rows['trail'] ?? []).filter(
      (row) =>
        row['ownerId'] === ownerId ||
        (row['ownerId'] === null && hadCarAt(spans, textOf(row, 'carId'), textOf(row, 'at'))),
    ),
  };
}

function textOf(row: AnyRow, column: string): string {
  return String(row[column] ?? '');
}

function isOtherOwner(value: unknown, ownerId: string): boolean {
  return typeof value === 'string' && value.startsWith('owner:') && value !== `owner:${ownerId}`;
}

const AUTHORS = ['author', 'recordedBy', 'by'];
const LETTER_TEXTS = ['text', 'html', 'response', 'fault'];
const FLAGS = [
  'refusesCalls',
  'given',
  'damp',
  'coverOn',
  'oiled',
  'repaired',
  'powered',
  'byHand',
  'inLetter',
  'strips',
];
const LISTS = [
  'warranties',
  'because',
  'weeks',
  'refusedTopics',
  'softFailures',
  'pivots',
  'findings',
  'was',
  'becomes',
];

/** The columns of a row that she is given, as they are told. */
function told(row: AnyRow, columns: readonly string[], ownerId: string) {
  return Object.fromEntries(
    columns.map((column) => [column, toldValue(column, row[column] ?? null, ownerId)]),
  );
}

function toldValue(column: string, value: unknown, ownerId: string): unknown {
  if (value === null) return null;
  if (FLAGS.includes(column)) return value === true || value === 1;
  if (typeof value !== 'string') return value;
  if (AUTHORS.includes(column)) return authorTold(value, ownerId);
  if (LETTER_TEXTS.includes(column)) return withoutTokens(value);
  if (LISTS.includes(column)) return listTold(value, ownerId);
  return value;
}

/** Who it was, without naming anybody of the organisation or another owner. */
function authorTold(author: string, ownerId: string): string {
  if (author === `owner:${ownerId}` || author.startsWith('stop-link:')) return 'you';
  if (author.startsWith('owner:')) return 'another owner';
  return author === 'foldkeep' ? 'foldkeep' : 'the organisation';
}

function listTold(json: string, ownerId: string): unknown {
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch {
    return json;
  }
  if (typeof value !== 'object' || value === null || !('ownerId' in value)) return value;
  return { ...value, ownerId: value.ownerId === ownerId ? ownerId : 'another owner' };
}
