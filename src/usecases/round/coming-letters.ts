import type { Day } from '../../domain/calendar/day.ts';
import { addDays, addMonths } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { namedCars } from '../../store/cars/car-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { forecast } from './forecast.ts';

/** A letter that would be written if nothing else happened. */
export interface ComingLetterRecord {
  readonly kind: LetterKind;
  readonly on: Day;
  readonly ownerId: string;
  readonly owner: string;
  readonly registrations: readonly string[];
}

/** The letters of a month to come. */
export interface ComingMonthRecord {
  /** `YYYY-MM`. */
  readonly month: string;
  readonly letters: readonly ComingLetterRecord[];
}

/** As far as a shop plans ahead, and as a page stays readable (shop rule). */
export const MONTHS_AHEAD = 6;

/** The letters from today to the end of some months, month by month, as the round would write them. */
export async function comingLetters(
  context: Context,
  caller: Caller,
  months: number,
): Promise<ComingMonthRecord[]> {
  const { timeZone } = await showOrganisation(context, caller);
  const today = dayIn(timeZone, context.now());
  const first = `${today.slice(0, 7)}-01`;
  const to = addDays(addMonths(first, months), -1);
  const cars = await namedCars(context.store.sql, caller.organisationId);
  const named = new Map(cars.map((car) => [car.id, car]));
  const owners = new Map(cars.map(({ ownerId, ownerName }) => [ownerId, ownerName]));
  const items = await forecast(context, caller, { from: today, to });
  return Array.from({ length: months }, (_, i) => addMonths(first, i).slice(0, 7)).map((month) => ({
    month,
    letters: items
      .filter(({ on }) => on.startsWith(month))
      .map(({ kind, on, ownerId, carIds }) => ({
        kind,
        on,
        ownerId,
        owner: owners.get(ownerId) ?? '',
        registrations: carIds.map((id) => named.get(id)?.registration ?? ''),
      })),
  }));
}
