import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { mayMove } from '../../domain/may-move/may-move.ts';
import type { MayMove, MoveReason } from '../../domain/may-move/move-verdict.ts';
import { FREE_TO_MOVE } from '../../domain/may-move/move-verdict.ts';
import { moveFactsOf } from '../../store/cars/move-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { reasonInWords } from '../../views/letters/stay.ts';
import { speakerOf } from '../../views/letters/sheet.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

/** Whether a top may be moved, with each reason in words too. */
export interface MayMoveRecord extends Omit<MayMove, 'reasons' | 'how'> {
  readonly reasons: (MoveReason & { readonly words: string })[];
  readonly how: MayMove['how'][number][];
}

interface Standing {
  readonly carId: string;
  readonly timeZone: string;
}

/** Whether the tops on some cars of one organisation may be moved, by car, where it is today. */
export async function mayMoveOf(
  sql: Sql,
  organisationId: string,
  cars: readonly Standing[],
  now: Instant,
): Promise<Map<string, MayMove>> {
  const facts = await moveFactsOf(
    sql,
    cars.map(({ carId }) => carId),
  );
  // Most tops may be moved, and nobody's figures say otherwise.
  if (facts.size === 0) return new Map(cars.map(({ carId }) => [carId, FREE_TO_MOVE]));
  const own = await ownFiguresOf(sql, organisationId);
  const figures = { pivots: figuresFor('pivots', own), frame: figuresFor('frame', own) };
  return new Map(
    cars.map(({ carId, timeZone }) => {
      const found = facts.get(carId);
      const today = dayIn(timeZone, now);
      return [carId, found === undefined ? FREE_TO_MOVE : mayMove(found, today, figures)];
    }),
  );
}

/** The same for one car. */
export async function mayMoveNow(
  sql: Sql,
  organisationId: string,
  car: Standing,
  now: Instant,
): Promise<MayMove> {
  return (await mayMoveOf(sql, organisationId, [car], now)).get(car.carId) ?? FREE_TO_MOVE;
}

/** A verdict as the API and the shop's pages read it. */
export function mayMoveRecordOf(move: MayMove): MayMoveRecord {
  const { verdict, reasons, how, repairOn, powered } = move;
  const speaker = speakerOf('en');
  return {
    verdict,
    how: [...how],
    repairOn,
    powered,
    reasons: reasons.map((reason) => ({ ...reason, words: reasonInWords(reason, speaker) })),
  };
}
