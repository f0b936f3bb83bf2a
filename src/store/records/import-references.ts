/** What a run made, by the kind of record. */
export type MadeKind = 'owners' | 'cars' | 'tops';

/** Why a run is not taken back any more: somebody worked with what it made. */
export type Against =
  | 'visits'
  | 'entries'
  | 'calls'
  | 'offers'
  | 'letters'
  | 'consents'
  | 'care-days'
  | 'orders'
  | 'sharing'
  | 'estimates'
  | 'photos';

/** Rows of a table that name an owner, a car or a top. */
export interface Reference {
  readonly table: string;
  /** Its columns that name such a record, and of which kind. */
  readonly columns: Readonly<Record<string, MadeKind>>;
  /** What such rows say against taking a run back; nothing where absent. */
  readonly against?: Against;
  /** Which of its rows stand against it; all where absent. */
  readonly where?: string;
  /** Which of its rows stand against removing one car that was typed in by mistake; as `where` says where absent. */
  readonly againstRemoval?: string;
  /** Gone with the record that the run made, or standing on without it. */
  readonly fate: 'goes' | 'stays';
}

const HAS_LEFT = `"state" NOT IN ('planned', 'cancelled')`;

/**
 * Every table that names an owner, a car or a top, in the order in which rows go when a run is taken
 * back: each before what it refers to. A table that is added to the schema is added here, so that whoever
 * adds it decides whether its rows are somebody's work or follow from the record.
 */
export const REFERENCES: readonly Reference[] = [
  {
    table: 'visit',
    columns: { carId: 'cars', topId: 'tops' },
    against: 'visits',
    againstRemoval: `"state" <> 'cancelled'`,
    fate: 'goes',
  },
  { table: 'finding', columns: { topId: 'tops' }, against: 'visits', fate: 'goes' },
  {
    table: 'estimate',
    columns: { carId: 'cars', topId: 'tops', ownerId: 'owners' },
    against: 'estimates',
    fate: 'goes',
  },
  {
    table: 'photo',
    columns: { carId: 'cars' },
    against: 'photos',
    againstRemoval: '"removedAt" IS NULL',
    fate: 'goes',
  },
  {
    table: 'position_entry',
    columns: { carId: 'cars' },
    against: 'entries',
    againstRemoval: '"withdrawnAt" IS NULL',
    fate: 'goes',
  },
  {
    table: 'call_entry',
    columns: { carId: 'cars', ownerId: 'owners' },
    against: 'calls',
    fate: 'goes',
  },
  { table: 'offer', columns: { topId: 'tops' }, against: 'offers', fate: 'goes' },
  // What somebody agreed to or refused outlives the record of who it was.
  { table: 'consent_entry', columns: { ownerId: 'owners' }, against: 'consents', fate: 'stays' },
  { table: 'care_day_place', columns: { carId: 'cars' }, against: 'care-days', fate: 'goes' },
  { table: 'part_wish', columns: { carId: 'cars' }, against: 'orders', fate: 'goes' },
  {
    table: 'car_tie',
    columns: { carId: 'cars', ownerId: 'owners', otherCarId: 'cars', otherOwnerId: 'owners' },
    against: 'sharing',
    fate: 'goes',
  },
  {
    table: 'share',
    columns: { carId: 'cars', ownerId: 'owners' },
    against: 'sharing',
    againstRemoval: '"endedAt" IS NULL',
    fate: 'goes',
  },
  {
    table: 'letter_occasion',
    columns: { carId: 'cars', ownerId: 'owners' },
    against: 'letters',
    where: `"letterId" IN (SELECT "id" FROM "letter" WHERE ${HAS_LEFT})`,
    fate: 'goes',
  },
  // Each is about something, so those that have left are counted by their occasions.
  { table: 'letter', columns: { ownerId: 'owners' }, fate: 'goes' },
  { table: 'link', columns: { carId: 'cars', ownerId: 'owners' }, fate: 'goes' },
  { table: 'round_fault', columns: { ownerId: 'owners' }, fate: 'goes' },
  // Who did what is told of records that are gone, too.
  { table: 'trail', columns: { carId: 'cars', ownerId: 'owners' }, fate: 'stays' },
  { table: 'pivot', columns: { carId: 'cars' }, fate: 'goes' },
  { table: 'key_car', columns: { carId: 'cars' }, fate: 'goes' },
  { table: 'top', columns: { id: 'tops', carId: 'cars' }, fate: 'goes' },
  { table: 'car', columns: { id: 'cars', ownerId: 'owners' }, fate: 'goes' },
  { table: 'car_kept', columns: { carId: 'cars' }, fate: 'goes' },
  { table: 'owner', columns: { id: 'owners' }, fate: 'goes' },
];
