import { faultOf } from '../../domain/faults/fault-rows.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import type { ShareKind } from '../../domain/sharing/share-kind.ts';
import { flag } from '../../store/database/sql.ts';
import { newestEntries, ownerSinceOf } from '../../store/cars/owner-page-rows.ts';
import type { OpenRow } from '../../store/sharing/share-rows.ts';
import { openTo } from '../../store/sharing/share-rows.ts';
import {
  sharedFaults,
  sharedLetters,
  sharedReadings,
  sharedVisits,
} from '../../store/sharing/shared-rows.ts';
import { showCar } from '../cars/read-cars.ts';
import type { Caller, Context } from '../context/context.ts';

/** What the owner of a car shares from the records of one other organisation. */
export interface SharedRecord {
  readonly from: string;
  readonly timeZone: string;
  readonly since: Partial<Record<ShareKind, Instant>>;
  /** Null where it is not shared, so with the others. */
  readonly visits: readonly SharedVisit[] | null;
  /** Where the top stands by the owner's log; `at` null where nothing was logged. */
  readonly position: { readonly position: string; readonly at: Instant } | 'nothing' | null;
  readonly letters: readonly { readonly kind: LetterKind; readonly at: Instant }[] | null;
}

export interface SharedVisit {
  readonly on: Day;
  readonly kind: string;
  readonly readings: readonly {
    readonly pivot: string;
    readonly state: string;
    readonly oiled: boolean;
    readonly repaired: boolean;
    readonly washersPresent: number | null;
    readonly washersExpected: number;
    readonly axialPlayMm: number | null;
    readonly radialPlayMm: number | null;
  }[];
  readonly faults: readonly { readonly fault: string; readonly outcome: string }[];
}

export interface SharedWithUs {
  readonly registration: string;
  readonly records: readonly SharedRecord[];
}

/**
 * What the owner of one of the caller's cars shares from records elsewhere: by choice, kind by kind,
 * until it is taken back. Nothing else of another organisation's records can be read.
 */
export async function readSharedWithUs(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<SharedWithUs> {
  const car = await showCar(context, caller, carId);
  const open = await openTo(context.store.sql, caller.organisationId, carId);
  const pairs = new Map(open.map((row) => [`${row.organisationId} ${row.carId}`, row]));
  const records = [...pairs.values()].map((pair) => sharedRecord(context, pair, open));
  return { registration: car.registration, records: await Promise.all(records) };
}

async function sharedRecord(
  context: Context,
  { organisationId, organisationName, carId, timeZone }: OpenRow,
  open: readonly OpenRow[],
): Promise<SharedRecord> {
  const own = open.filter((row) => row.organisationId === organisationId && row.carId === carId);
  const shares = (kind: ShareKind) => own.some((row) => row.kind === kind);
  const { sql } = context.store;
  return {
    from: organisationName,
    timeZone,
    since: Object.fromEntries(own.map(({ kind, since }) => [kind, since])),
    visits: shares('visits') ? await visitsOf(context, organisationId, carId) : null,
    position: shares('positions') ? await positionOf(context, carId) : null,
    letters: shares('letters')
      ? (await sharedLetters(sql, organisationId, carId)).map(({ kind, messageDate }) => ({
          kind: kind as LetterKind,
          at: messageDate,
        }))
      : null,
  };
}

async function positionOf({ store }: Context, carId: string) {
  // Who shares it now shares nothing of the time before it was hers.
  const from = await ownerSinceOf(store.sql, carId);
  const [last] = await newestEntries(store.sql, carId, 1, from);
  return last === undefined ? 'nothing' : { position: last.position, at: last.at };
}

async function visitsOf(
  { store: { sql } }: Context,
  organisationId: string,
  carId: string,
): Promise<SharedVisit[]> {
  const visits = await sharedVisits(sql, organisationId, carId);
  const readings = await sharedReadings(sql, organisationId, carId);
  const faults = await sharedFaults(sql, organisationId, carId);
  return visits.map(({ id, kind, doneOn }) => ({
    on: doneOn,
    kind,
    readings: readings
      .filter(({ visitId }) => visitId === id)
      .map((row) => ({
        pivot: row.code,
        state: row.state,
        oiled: flag(row.oiled),
        repaired: flag(row.repaired),
        washersPresent: row.washersPresent,
        washersExpected: row.washersExpected,
        axialPlayMm: row.axialPlayMm,
        radialPlayMm: row.radialPlayMm,
      })),
    faults: faults
      .filter(({ visitId }) => visitId === id)
      .flatMap(({ fault, outcome }) => {
        const known = fault === null ? undefined : faultOf(fault);
        return known === undefined ? [] : [{ fault: `${known.item}: ${known.means}`, outcome }];
      }),
  }));
}
