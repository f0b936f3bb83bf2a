/** What of a table the trail follows. Columns that are not named here are followed by themselves. */
export interface TrailTable {
  readonly table: string;
  /** The columns that make its record's name. */
  readonly key: readonly string[];
  /** Columns whose change is no news: what follows from others, counters, secrets. */
  readonly ignored?: readonly string[];
  /** Left out where a record of its own says who made it, or a larger record does. */
  readonly recorded?: false;
  /** A column that says whether a row is followed at all; every row is where absent. */
  readonly onlyIf?: string;
}

const COUNTERS = ['version', 'changedAt'];

/**
 * Every table whose changes people answer for. What the server writes by itself (letters, offers,
 * looks of the round) is not here; consents and own figures are lists of their own. Of the people of
 * the organisation no address is followed, so that it goes with them; of secrets, when they were set.
 */
export const TRAIL_TABLES: readonly TrailTable[] = [
  { table: 'organisation', key: ['id'], ignored: [...COUNTERS, 'logo', 'dailyMailOn'] },
  { table: 'access_key', key: ['id'], ignored: ['hash', 'lastUsedAt'] },
  {
    table: 'person',
    key: ['id'],
    ignored: ['email', 'passwordHash', 'totpSecret', 'totpStep'],
  },
  {
    table: 'passkey',
    key: ['id'],
    ignored: ['credentialId', 'publicKey', 'counter', 'transports', 'lastUsedAt'],
  },
  { table: 'invitation', key: ['id'], ignored: ['email', 'hash'] },
  { table: 'link', key: ['id'], ignored: ['hash', 'usedAt'], onlyIf: 'byHand' },
  { table: 'owner', key: ['id'], ignored: [...COUNTERS, 'addressHash'] },
  { table: 'car', key: ['id'], ignored: [...COUNTERS, 'lookAt', 'lookedAt', 'ownerSince'] },
  {
    table: 'top',
    key: ['id'],
    ignored: [...COUNTERS, 'lubricatedOn', 'intervalMonths', 'because', 'dueOn'],
  },
  { table: 'pivot', key: ['id'], recorded: false },
  { table: 'visit', key: ['id'], ignored: COUNTERS },
  { table: 'reading', key: ['id'], recorded: false },
  { table: 'finding', key: ['id'], recorded: false },
  { table: 'position_entry', key: ['id'], recorded: false },
  { table: 'call_entry', key: ['id'], ignored: COUNTERS },
  { table: 'frame_pattern', key: ['id'], ignored: COUNTERS },
  { table: 'diary', key: ['organisationId'], ignored: COUNTERS },
  { table: 'closure', key: ['id'], ignored: COUNTERS },
  { table: 'care_day', key: ['id'], ignored: COUNTERS },
  { table: 'club_letter', key: ['id'], ignored: COUNTERS },
  { table: 'care_day_place', key: ['id'], ignored: COUNTERS },
  { table: 'part_wish', key: ['careDayId', 'carId', 'part'], ignored: COUNTERS },
  { table: 'car_tie', key: ['id'] },
  { table: 'share', key: ['id'] },
  { table: 'stock', key: ['part'], ignored: COUNTERS },
  { table: 'price_setting', key: ['organisationId'], ignored: COUNTERS },
  { table: 'part_order', key: ['id'], ignored: COUNTERS },
  { table: 'part_use', key: ['visitId', 'part'], ignored: COUNTERS },
  { table: 'estimate', key: ['id'], ignored: COUNTERS },
  { table: 'estimate_line', key: ['id'], recorded: false },
  { table: 'photo', key: ['id'], ignored: COUNTERS },
  { table: 'wording', key: ['kind', 'language', 'slot'], ignored: COUNTERS },
];

/** A table with the columns that its database has now. */
export interface TrailedTable extends TrailTable {
  readonly columns: readonly string[];
}

/** The columns whose change is news. */
export function followed({ columns, ignored = [] }: TrailedTable): string[] {
  return columns.filter((column) => !ignored.includes(column));
}

/** Whose page shows an entry, as expressions over a row that is called `row`. */
export function aboutOf({ table, columns }: TrailedTable, row: string, isRemoved = false) {
  const own = (column: string) => `${row}."${column}"`;
  const has = (column: string) => columns.includes(column);
  // A car that is gone has no page any more: that it went stands on its owner's.
  const aboutOwners = ABOUT_OWNERS.includes(table) || (isRemoved && table === 'car');
  const visit = has('visitId')
    ? `(SELECT v."carId" FROM "visit" v WHERE v."id" = ${own('visitId')})`
    : 'NULL';
  return {
    carId: table === 'car' ? own('id') : has('carId') ? own('carId') : visit,
    ownerId: table === 'owner' ? own('id') : aboutOwners ? own('ownerId') : 'NULL',
    visitId: table === 'visit' ? own('id') : has('visitId') ? own('visitId') : 'NULL',
    personId: table === 'person' ? own('id') : has('personId') ? own('personId') : 'NULL',
  };
}

const ABOUT_OWNERS = ['call_entry', 'link'];

/** Whose organisation's trail an entry stands in; where it is null, none is written. */
export function organisationOf({ table, columns }: TrailedTable, row: string): string {
  if (table === 'organisation') return `${row}."id"`;
  if (columns.includes('organisationId')) return `${row}."organisationId"`;
  return `(SELECT p."organisationId" FROM "person" p WHERE p."id" = ${row}."personId")`;
}
