import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { VisitOutlook } from '../../domain/parts/chance-of-need.ts';
import type { PartForecast, PartStock } from '../../domain/parts/forecast.ts';
import { longestLeadWeeks, partsForecast } from '../../domain/parts/forecast.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { stockOf } from '../../store/stock/stock-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import type { DiaryVisit } from '../bench/diary-visits.ts';
import { bookedVisits, expectedVisits, lengthsOfVisits } from '../bench/diary-visits.ts';
import { othersFirst } from '../context/turns.ts';
import { jointsOfCars, learnLives } from '../tops/joint-facts.ts';
import type { OwnLives } from '../tops/washer-histories.ts';
import type { OrdersAndNeeds } from './part-findings.ts';
import { ordersAndNeeds } from './part-findings.ts';
import { pivotOutlooks } from '../tops/pivot-outlooks.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { wearPriors } from '../own/wear-priors.ts';

export interface PartRecord extends Omit<PartForecast, 'drivers'> {
  readonly drivers: {
    readonly reason: string;
    readonly places: number;
    readonly expected: number;
  }[];
}

export interface PartsRecord {
  readonly today: Day;
  readonly items: PartRecord[];
  readonly because: string[];
}

/**
 * What to order: per part the number that the coming visits are expected to need, the quantity for
 * the service level over its lead time (or the weeks asked for, if that is longer), and what drives
 * it. Booked and expected visits count by their chance to take place; covers only once ordered.
 */
export async function readParts(
  context: Context,
  caller: Caller,
  {
    weeks,
    lives,
    visitIds = null,
  }: {
    readonly weeks?: number | undefined;
    /** Only what these booked visits need, such as those of one day; all that comes where absent. */
    readonly visitIds?: ReadonlySet<string> | null;
    /** What the organisation knows of washers, where whoever asks knows it already. */
    readonly lives?: OwnLives;
  },
): Promise<PartsRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const own = await ownFiguresOf(sql, organisationId);
  const calendar = await diaryCalendar(sql, organisationId, context.now());
  const { today } = calendar;
  const stock: Partial<Record<Part, PartStock>> = {};
  for (const { part, inHand, onOrder, leadWeeks } of await stockOf(sql, organisationId)) {
    // Less than none was counted wrong; what it will come to, nobody knows before the next count.
    const there = { onHand: Math.max(0, inHand), onOrder: Math.max(0, onOrder) };
    stock[part] = { ...there, ...(leadWeeks === null ? {} : { leadWeeks }) };
  }
  const values = figuresFor('parts', own);
  const furthest = Math.ceil(Math.max(weeks ?? 0, longestLeadWeeks(stock, values)));
  const last = addDays(today, furthest * 7 - 1);
  await othersFirst();
  const lengthOf = await lengthsOfVisits(sql, calendar);
  await othersFirst();
  const booked = await bookedVisits(sql, calendar, lengthOf, today, last);
  await othersFirst();
  const expected = await expectedVisits(sql, calendar, lengthOf, last);
  await othersFirst();
  const ordered = await ordersAndNeeds(sql, organisationId);
  await othersFirst();
  const counted =
    visitIds === null
      ? [...booked, ...expected.visits]
      : booked.filter(({ id }) => visitIds.has(id));
  const coming = counted.filter(({ kind }) => kind === 'lubrication' || kind === 'repair');
  const carIds = [...new Set(coming.map(({ top }) => top.carId))];
  const known = lives ?? (await learnLives(sql, organisationId, own));
  const facts = await jointsOfCars(sql, organisationId, carIds, known);
  const patterns = coming.map(({ top }) => top.framePattern);
  const priors = await wearPriors(sql, organisationId, patterns, { today, own });
  const pivots = new Map<string, VisitOutlook['pivots']>();
  for (const visit of coming) {
    // Each has some ten joints, and judging one takes a good part of a millisecond.
    await othersFirst();
    const on = comingDay(visit, today);
    pivots.set(visit.id, pivotOutlooks(facts, visit.top.carId, today, on, { own, priors }));
  }
  // What stands ordered for other cars is no part of the order for these.
  const orders = visitIds === null ? ordered : { ...ordered, ordersOf: ordersFor(coming, ordered) };
  const visits = outlooks(coming, orders, today, ({ id }) => pivots.get(id) ?? []);
  const items: PartRecord[] = [];
  const outlook = { today, visits, stock, ...(weeks === undefined ? {} : { weeks }) };
  for (const item of partsForecast(outlook, values)) {
    items.push({ ...item, drivers: item.drivers.map((driver) => ({ ...driver })) });
    await othersFirst();
  }
  return {
    today,
    items,
    because: [
      `shop rule: ${values.service} chance of not running out before the next delivery`,
      `shop rule: ${values.bookedComes} of booked and ${values.expectedComes} of expected visits take place`,
      'shop rule: the chance that a joint or a car needs a part, until own records outweigh it',
      'shop rule: lead times that are not entered with the stock',
    ],
  };
}

function ordersFor(coming: readonly DiaryVisit[], { ordersOf }: OrdersAndNeeds) {
  const topIds = new Set(coming.map(({ top }) => top.topId));
  return new Map([...ordersOf].filter(([topId]) => topIds.has(topId)));
}

/** The day of a visit to come; one that is overdue may come today. */
function comingDay({ on, dueOn }: DiaryVisit, today: Day): Day {
  const day = on ?? dueOn ?? today;
  return day < today ? today : day;
}

/**
 * The visits as the forecast takes them. What an owner has ordered is for the next visit of the top;
 * where none is coming, the order alone stands, so that a cover is bought all the same.
 */
function outlooks(
  coming: readonly DiaryVisit[],
  { ordersOf, shrunk, patterns }: OrdersAndNeeds,
  today: Day,
  pivotsOf: (visit: DiaryVisit) => VisitOutlook['pivots'],
): VisitOutlook[] {
  const open = new Map(ordersOf);
  const dayOf = (visit: DiaryVisit) => comingDay(visit, today);
  const inOrder = coming.toSorted((a, b) =>
    dayOf(a) < dayOf(b) ? -1 : Number(dayOf(a) > dayOf(b)),
  );
  const visits = inOrder.map((visit): VisitOutlook => {
    const { topId, material, framePattern } = visit.top;
    const ordered = open.get(topId);
    open.delete(topId);
    const on = dayOf(visit);
    return {
      id: visit.id,
      on,
      standing: visit.on === null ? 'expected' : 'booked',
      material,
      pivots: pivotsOf(visit),
      shrunkCover: shrunk.has(topId),
      ...(ordered === undefined ? {} : { ordered }),
      patternRecord: patterns.get(framePattern) ?? {},
    };
  });
  const alone = [...open].map(([topId, ordered]): VisitOutlook => ({
    id: `order ${topId}`,
    on: today,
    standing: 'expected',
    comes: 0,
    material: 'vinyl',
    pivots: [],
    ordered,
  }));
  return [...visits, ...alone];
}
