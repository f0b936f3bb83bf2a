import type { Wording } from '../../domain/advice/advice.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { faultOf } from '../../domain/faults/fault-rows.ts';
import type { DeclinedWork, Outcome } from '../../domain/warranty/declined.ts';
import { declinedWork } from '../../domain/warranty/declined.ts';
import { openWork } from '../../domain/warranty/open-work.ts';
import type { WarrantyTerm } from '../../domain/warranty/warranty.ts';
import { endingWithin, WARRANTY_WORDS, warrantyEnds } from '../../domain/warranty/warranty.ts';
import type { FoundWork } from '../../store/visits/finding-rows.ts';
import { workOnTops, workWithRefusals } from '../../store/visits/finding-rows.ts';
import { topsWithWarranties, warrantiesOnCars } from '../../store/tops/top-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';

export interface OpenNote {
  readonly findingId: string;
  readonly visitId: string;
  /** Fault id or, where no fault fits, the words of the finding. */
  readonly fault: string;
  readonly pivot: string | null;
  readonly text: string;
  readonly advised: string;
  readonly outcome: Outcome;
  readonly on: Day;
}

interface WhoseTop {
  readonly topId: string;
  readonly carId: string;
  readonly ownerId: string;
  readonly registration: string;
  readonly ownerName: string;
}

export interface EndingWarranty extends WhoseTop {
  readonly part: string;
  readonly months: number;
  readonly endsOn: Day;
  readonly daysLeft: number;
  readonly openNotes: OpenNote[];
}

/**
 * Parts of tops on cars whose term ends within so many days, soonest first, with the work on the top
 * that is advised or declined and not done: it is better settled while the term still runs.
 */
export async function listWarranties(
  context: Context,
  caller: Caller,
  { endingWithin: days, limit, after }: PageRequest & { endingWithin: number },
): Promise<Page<EndingWarranty> & { words: Wording }> {
  const { sql } = context.store;
  const [fromDay = '', fromId = '', fromPart = ''] =
    partsOfCursor(after, ['day', 'id', 'word']) ?? [];
  const tops = await topsWithWarranties(sql, caller.organisationId);
  const now = context.now();
  const rows = tops
    .flatMap(({ fittedOn, warranties, timeZone, ...whose }) => {
      const terms = JSON.parse(warranties) as WarrantyTerm[];
      const ends = warrantyEnds({ fittedOn, warranties: terms }, dayIn(timeZone, now));
      return endingWithin(ends, days).map(({ part, months, endsOn, daysLeft }) => ({
        ...whose,
        part,
        months,
        endsOn,
        daysLeft,
      }));
    })
    .map((row) => ({ row, key: [row.endsOn, row.topId, row.part] as const }))
    .filter(({ key }) => inOrder(key, [fromDay, fromId, fromPart]) > 0)
    .sort((a, b) => inOrder(a.key, b.key))
    .slice(0, limit + 1);
  const found = await workOnTops(sql, [...new Set(rows.map(({ row }) => row.topId))]);
  const page = pageOf(
    rows,
    limit,
    ({ row }) => ({ ...row, openNotes: notesOf(found, row.topId) }),
    ({ key }) => key,
  );
  return { ...page, words: WARRANTY_WORDS };
}

function inOrder(a: readonly string[], b: readonly string[]): number {
  const at = a.findIndex((part, i) => part !== b[i]);
  return at < 0 ? 0 : (a[at] ?? '') < (b[at] ?? '') ? -1 : 1;
}

function notesOf(found: readonly FoundWork[], topId: string): OpenNote[] {
  return openWork(found.filter((work) => work.topId === topId)).map(
    ({ id, visitId, fault, pivotCode = null, text, advised, outcome, on }) => ({
      findingId: id,
      visitId,
      fault,
      pivot: pivotCode,
      text,
      advised,
      outcome,
      on,
    }),
  );
}

export interface DeclinedRecord extends WhoseTop {
  readonly fault: string;
  /** The name of the fault; null where the finding fits none. */
  readonly name: string | null;
  readonly pivot: string | null;
  readonly advised: string;
  readonly firstOn: Day;
  readonly lastOn: Day;
  readonly times: number;
}

/**
 * Work that was declined and neither accepted nor done since, longest standing first. Work at a pivot
 * stays with the frame over a re-cover; everything else ends with the top that it was found on.
 */
export async function listDeclined(context: Context, caller: Caller): Promise<DeclinedRecord[]> {
  const { sql } = context.store;
  const byCar = new Map<string, FoundWork[]>();
  for (const work of await workWithRefusals(sql, caller.organisationId)) {
    if (work.topRetired && (work.pivotCode ?? null) === null) continue;
    byCar.set(work.carId, [...(byCar.get(work.carId) ?? []), work]);
  }
  const carIds = [...byCar.keys()];
  if (carIds.length === 0) return [];
  const tops = await warrantiesOnCars(sql, caller.organisationId, carIds);
  return tops
    .flatMap(({ topId, carId, ownerId, registration, ownerName }) =>
      declinedWork(byCar.get(carId) ?? []).map((work) => ({
        topId,
        carId,
        ownerId,
        registration,
        ownerName,
        ...declinedRecordOf(work),
      })),
    )
    .sort((a, b) => inOrder([a.firstOn, a.topId, a.fault], [b.firstOn, b.topId, b.fault]));
}

function declinedRecordOf({ fault, pivotCode, advised, firstOn, lastOn, times }: DeclinedWork) {
  const name = faultOf(fault)?.item ?? null;
  return { fault, name, pivot: pivotCode, advised, firstOn, lastOn, times };
}
