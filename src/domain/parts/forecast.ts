import { daysBetween, isDay } from '../calendar/day.ts';
import { valuesOf } from '../figures/figure.ts';
import { needsOfVisit } from './chance-of-need.ts';
import type { PieceNeed, VisitOutlook } from './chance-of-need.ts';
import { KITS, PARTS } from './kits.ts';
import type { Part } from './kits.ts';
import { chanceShort, needDistribution } from './need-distribution.ts';
import type { VisitNeed } from './need-distribution.ts';
import { PART_FIGURES } from './part-figures.ts';
import type { PartValues } from './part-figures.ts';
import { quantityFor } from './poisson-binomial.ts';

/** What the shop has of one part. */
export interface PartStock {
  readonly onHand: number;
  /** Ordered and on its way. */
  readonly onOrder?: number;
  /** Own lead time, in place of the shop rule's. */
  readonly leadWeeks?: number;
}

/** One reason for needing a part, with the joints or visits it holds for. */
export interface Driver {
  readonly reason: string;
  readonly places: number;
  readonly expected: number;
}

export interface PartForecast {
  readonly part: Part;
  readonly label: string;
  readonly piece: string;
  readonly onOrderOnly: boolean;
  readonly leadWeeks: number;
  /** Weeks looked ahead: the lead time, or longer if longer was asked for. */
  readonly weeks: number;
  /** Visits in those weeks. */
  readonly visits: number;
  readonly expected: number;
  /** Enough for the service level over those weeks. */
  readonly quantity: number;
  readonly inHand: number;
  /** What to order now: quantity less stock and what is on its way. */
  readonly order: number;
  /** Chance that what is in hand does not last over those weeks if nothing is ordered. */
  readonly chanceShort: number;
  /** Largest expected need first. */
  readonly drivers: readonly Driver[];
  readonly because: string;
}

export interface PartsOutlook {
  /** First calendar day looked at. */
  readonly today: string;
  readonly visits: readonly VisitOutlook[];
  readonly stock?: Readonly<Partial<Record<Part, PartStock>>>;
  /** Look at least so many weeks ahead, whatever the lead time. */
  readonly weeks?: number;
}

/**
 * For each part: how many the visits of its lead time are expected to need, how many to have for
 * the service level, and what drives it. A cover is counted only where an owner has ordered it,
 * over all the visits given. Parts come in the order of `PARTS`, one after the other, for whoever has
 * others to let by between them.
 * Throws RangeError for a day that does not exist, and for a stock or a number of weeks that is
 * negative or not finite.
 */
export function* partsForecast(
  outlook: PartsOutlook,
  values: PartValues = valuesOf(PART_FIGURES),
): Generator<PartForecast> {
  requireDay(outlook.today, 'today');
  for (const { id, on } of outlook.visits) requireDay(on, `visit ${id}: on`);
  const coming = outlook.visits
    .map((visit) => ({
      day: daysBetween(outlook.today, visit.on),
      comes:
        visit.comes ?? (visit.standing === 'booked' ? values.bookedComes : values.expectedComes),
      needs: needsOfVisit(visit, values),
    }))
    .filter(({ day }) => day >= 0);
  for (const part of PARTS) yield forecastOf(part, coming, outlook, values);
}

/** The longest lead time of any part, in weeks: a visit further off bears on no order today. */
export function longestLeadWeeks(
  stock: Readonly<Partial<Record<Part, PartStock>>>,
  values: PartValues,
): number {
  return Math.max(...PARTS.map((part) => stock[part]?.leadWeeks ?? values[KITS[part].lead]));
}

interface ComingVisit {
  readonly day: number;
  readonly comes: number;
  readonly needs: readonly PieceNeed[];
}

function forecastOf(
  part: Part,
  coming: readonly ComingVisit[],
  outlook: PartsOutlook,
  values: PartValues,
): PartForecast {
  const { label, piece, lead, onOrderOnly = false } = KITS[part];
  const stock = outlook.stock?.[part];
  const leadWeeks = atLeastZero(stock?.leadWeeks ?? values[lead], `${part}: leadWeeks`);
  const weeks = Math.max(leadWeeks, atLeastZero(outlook.weeks ?? 0, 'weeks'));
  const inHand =
    atLeastZero(stock?.onHand ?? 0, `${part}: onHand`) +
    atLeastZero(stock?.onOrder ?? 0, `${part}: onOrder`);

  const visits = onOrderOnly ? coming : coming.filter(({ day }) => day < weeks * 7);
  const needs = visits.map((visit): VisitNeed & { pieces: readonly PieceNeed[] } => {
    const pieces = visit.needs.filter((need) => need.part === part);
    // An ordered cover is bought for its car, whether or not the owner keeps the first date.
    const comes = onOrderOnly ? 1 : visit.comes;
    return { comes, chances: pieces.map(({ chance }) => chance), pieces };
  });
  const drivers = driversOf(needs);
  const expected = drivers.reduce((sum, driver) => sum + driver.expected, 0);
  const distribution = needDistribution(needs);
  const quantity = quantityFor(distribution, values.service);
  return {
    part,
    label,
    piece,
    onOrderOnly,
    leadWeeks,
    weeks,
    visits: visits.length,
    expected,
    quantity,
    inHand,
    order: Math.max(0, quantity - inHand),
    chanceShort: chanceShort(distribution, inHand),
    drivers,
    because: inWords(visits.length, quantity, expected, drivers),
  };
}

function driversOf(
  needs: readonly { readonly comes: number; readonly pieces: readonly PieceNeed[] }[],
): Driver[] {
  const byReason = new Map<string, { places: number; expected: number }>();
  for (const { comes, pieces } of needs) {
    for (const { reason, chance } of pieces) {
      const sum = byReason.get(reason) ?? { places: 0, expected: 0 };
      byReason.set(reason, {
        places: sum.places + 1,
        expected: sum.expected + comes * chance,
      });
    }
  }
  return [...byReason]
    .map(([reason, sum]) => ({ reason, ...sum }))
    .toSorted((a, b) => b.expected - a.expected || (a.reason < b.reason ? -1 : 1));
}

function inWords(
  visits: number,
  quantity: number,
  expected: number,
  drivers: readonly Driver[],
): string {
  const over = `${visits} ${visits === 1 ? 'visit' : 'visits'}`;
  if (drivers.length === 0) return `${over}: no need seen`;
  const reasons = drivers
    .slice(0, 3)
    .map(({ reason, places, expected: part }) => `${reason} (${places}): ${part.toFixed(1)}`);
  return `${over}, about ${expected.toFixed(1)} needed: ${reasons.join('; ')}; keep ${quantity}`;
}

function requireDay(day: string, name: string): void {
  if (!isDay(day)) throw new RangeError(`${name} is no day of the calendar`);
}

function atLeastZero(value: number, name: string): number {
  if (!Number.isFinite(value) || value < 0) {
    throw new RangeError(`${name} must be a finite number of zero or more`);
  }
  return value;
}
