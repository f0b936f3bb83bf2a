import type { z } from 'zod';

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
  /** A table in which some of its columns stand, under its id. */
  readonly beside?: {
    readonly table: string;
    readonly id: string;
    readonly columns: readonly string[];
  };
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
