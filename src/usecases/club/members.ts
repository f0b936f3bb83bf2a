import type { Day } from '../../domain/calendar/day.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import { searchFor } from '../../domain/search/match.ts';
import type { MemberRow } from '../../store/club/member-rows.ts';
import { memberRows } from '../../store/club/member-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';

/** A member of a club, with cars and what was agreed to. */
export interface MemberRecord {
  readonly id: string;
  readonly name: string;
  readonly refused: readonly Topic[];
  readonly cars: readonly {
    readonly id: string;
    readonly registration: string;
    readonly topId: string | null;
    readonly dueOn: Day | null;
    readonly shares: number;
  }[];
}

export interface MembersRecord {
  readonly members: readonly MemberRecord[];
  /** How many members there are, whatever was searched for. */
  readonly all: number;
  /** Of all members: in which month how many cars are due, the soonest first. */
  readonly months: readonly { readonly month: string; readonly cars: number }[];
}

/** The members of a club by name: all, those that fit a search, or those with a car due in a month. */
export async function readMembers(
  context: Context,
  caller: Caller,
  { search = '', month = '' }: { readonly search?: string; readonly month?: string },
): Promise<MembersRecord> {
  requireRight(caller, 'read-records');
  const rows = await memberRows(context.store.sql, caller.organisationId);
  const due = rows.flatMap(({ dueOn }) => (dueOn === null ? [] : [dueOn.slice(0, 7)]));
  const months = [...new Set(due)].toSorted();
  const fits = searchFor(search);
  const wanted = rows.filter(
    (row) =>
      (fits === null ||
        fits({ ...row, registration: row.registration ?? '', ownerName: row.name })) &&
      (month === '' || row.dueOn?.startsWith(month) === true),
  );
  return {
    members: membersOf(rows, new Set(wanted.map(({ id }) => id))),
    all: new Set(rows.map(({ id }) => id)).size,
    months: months.map((one) => ({
      month: one,
      cars: due.filter((other) => other === one).length,
    })),
  };
}

function membersOf(rows: readonly MemberRow[], ids: ReadonlySet<string>): MemberRecord[] {
  return [...ids].map((id) => {
    const own = rows.filter((row) => row.id === id);
    return {
      id,
      name: own[0]?.name ?? '',
      refused: JSON.parse(own[0]?.refusedTopics ?? '[]') as Topic[],
      cars: own.flatMap(({ carId, registration, topId, dueOn, shares }) =>
        carId === null || registration === null
          ? []
          : [{ id: carId, registration, topId, dueOn, shares }],
      ),
    };
  });
}
