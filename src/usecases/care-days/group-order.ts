import { daysBetween } from '../../domain/calendar/day.ts';
import type { WishPart } from '../../domain/care-day/wishes.ts';
import { WISH_PARTS } from '../../domain/care-day/wishes.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { KITS } from '../../domain/parts/kits.ts';
import { wishesOf } from '../../store/care-days/wish-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { readParts } from '../stock/read-parts.ts';
import type { CareDayRecord } from './care-day-record.ts';
import { loadCareDay } from './care-day-record.ts';

/** One part of a group order. */
export interface OrderLine {
  readonly part: Part;
  readonly label: string;
  readonly piece: string;
  /** For the work of the day, enough for the service level. */
  readonly forTheDay: number;
  readonly inHand: number;
  /** What members ordered for themselves. */
  readonly wished: number;
  /** To be ordered: what the day lacks, and what members ordered. */
  readonly order: number;
  readonly because: string;
}

export interface GroupOrderRecord {
  readonly day: CareDayRecord;
  /** Cars that have a time, on which the need of the day rests. */
  readonly cars: number;
  readonly lines: readonly OrderLine[];
  readonly members: readonly {
    readonly name: string;
    readonly registration: string;
    readonly parts: readonly {
      readonly label: string;
      readonly piece: string;
      readonly pieces: number;
    }[];
  }[];
}

/**
 * What to order together for a care day: what the cars that have a time will need, and what members
 * ordered by their links. What is in hand is for the work; members get what they ordered.
 */
export async function readGroupOrder(
  context: Context,
  caller: Caller,
  dayId: string,
): Promise<GroupOrderRecord> {
  requireRight(caller, 'keep-owners');
  const { sql } = context.store;
  const { organisationId } = caller;
  const { day, places } = await loadCareDay(sql, organisationId, dayId, context.now());
  const visitIds = new Set(places.flatMap(({ visitId }) => (visitId === null ? [] : [visitId])));
  const weeks = Math.max(1, Math.ceil((daysBetween(day.today, day.heldOn) + 1) / 7));
  const { items } = await readParts(context, caller, { weeks, visitIds });
  const wishes = await wishesOf(sql, organisationId, dayId);
  const lines = items.map(({ part, label, piece, quantity, inHand, order, because }): OrderLine => {
    const wished = sum(wishes.filter((wish) => wish.part === part).map(({ pieces }) => pieces));
    return {
      part,
      label,
      piece,
      forTheDay: quantity,
      inHand,
      wished,
      order: order + wished,
      because,
    };
  });
  const carIds = [...new Set(wishes.map(({ carId }) => carId))];
  return {
    day,
    cars: visitIds.size,
    lines: lines.filter(({ forTheDay, wished }) => forTheDay + wished > 0),
    members: carIds.map((carId) => {
      const own = wishes.filter((wish) => wish.carId === carId);
      return {
        name: own[0]?.ownerName ?? '',
        registration: own[0]?.registration ?? '',
        parts: own.flatMap(({ part, pieces }) => {
          const known = WISH_PARTS.find((one): one is WishPart => one === part);
          if (known === undefined) return [];
          const { label, piece } = KITS[known];
          return [{ label, piece, pieces }];
        }),
      };
    }),
  };
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((a, b) => a + b, 0);
}
