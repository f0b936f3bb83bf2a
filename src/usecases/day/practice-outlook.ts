import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { PracticeYear, Spread } from '../../domain/practice/outlook.ts';
import { practiceOutlook } from '../../domain/practice/outlook.ts';
import type { FittedTopRow, ReturnRow } from '../../store/visits/practice-rows.ts';
import { fittedTops, returnsOfTops } from '../../store/visits/practice-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { grouped } from '../context/grouped.ts';
import { TABLE_TOLD } from '../own/visit-notes.ts';
import type { FittedYear, TopWithReturns } from './yearly-returns.ts';
import { fittedYears, yearlyReturns } from './yearly-returns.ts';

export interface OutlookRecord {
  readonly years: PracticeYear[];
  readonly fittedPerYear: number;
  readonly fittedYears: FittedYear[];
  readonly inCareNow: number;
  readonly visitsPerCar: number;
  readonly yearlyReturn: Spread;
  readonly basis: 'observed' | 'shop rule';
  readonly observed: { readonly due: number; readonly came: number };
  readonly usableWeeks: number;
  readonly because: string[];
}

// Older years say little about how much a shop fits now.
const YEARS_BACK = 3;

/**
 * Cars in care and visits a week over the coming years: tops fitted per year as on record, the return
 * observed with its spread, and as many visits a car as its intervals ask for. The tops of a whole
 * year are reckoned with at its end.
 */
export async function showOutlook(
  context: Context,
  caller: Caller,
  { years }: { readonly years: number },
): Promise<OutlookRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const own = await ownFiguresOf(sql, organisationId);
  const values = figuresFor('practice', own);
  const { today, due, timeZone } = await diaryCalendar(sql, organisationId, context.now());
  const rows = await fittedTops(sql, organisationId);
  const tops = withReturns(rows, await returnsOfTops(sql, organisationId), timeZone);
  const { inCare, ...observed } = yearlyReturns(tops, today, due.windowAfterDays);
  const fittedOn = rows.map((row) => row.fittedOn);
  const past = fittedYears(fittedOn, today, YEARS_BACK);
  const fittedPerYear =
    past.length === 0
      ? rows.length
      : past.reduce((sum, { fitted }) => sum + fitted, 0) / past.length;
  const onCars = rows.filter(({ retiredOn }) => retiredOn === null);
  const visitsPerCar =
    onCars.length === 0
      ? 1
      : onCars.reduce((sum, { intervalMonths }) => sum + 12 / intervalMonths, 0) / onCars.length;
  const outlook = practiceOutlook(
    { fittedPerYear, inCareNow: inCare, observed, years, visitsPerCar },
    values,
  );
  const { yearlyReturn, basis, usableWeeks, because } = outlook;
  return {
    years: [...outlook.years],
    fittedPerYear,
    fittedYears: past,
    inCareNow: inCare,
    visitsPerCar,
    yearlyReturn,
    basis,
    observed,
    usableWeeks,
    because: [
      because,
      fittedInWords(rows.length, past),
      `${visitsPerCar.toFixed(2)} visits a year for each car, by its lubrication interval`,
      `shop rule: ${usableWeeks} weeks of a year in which care visits are done`,
    ],
  };
}

/**
 * Tops with the days on which their owners came back. A table that names last oilings knows no others, of
 * the tops without one on it neither.
 */
function withReturns(
  rows: readonly FittedTopRow[],
  returns: readonly ReturnRow[],
  timeZone: string,
): TopWithReturns[] {
  const byTop = grouped(returns, ({ topId }) => topId);
  const isTold = ({ notes }: ReturnRow) => notes === TABLE_TOLD;
  const tablesAt = new Set(returns.filter(isTold).map(({ createdAt }) => createdAt));
  return rows.map(({ topId, fittedOn, retiredOn, createdAt }) => {
    const own = byTop.get(topId) ?? [];
    const [first] = own;
    const byTable = first !== undefined && isTold(first) ? first.createdAt : createdAt;
    const knownSince = tablesAt.has(byTable) ? dayIn(timeZone, byTable) : null;
    return { fittedOn, retiredOn, cameOn: own.map(({ doneOn }) => doneOn), knownSince };
  });
}

function fittedInWords(all: number, past: readonly FittedYear[]): string {
  if (past.length === 0) return `${all} tops fitted, in less than a year of records`;
  const counts = past.map(({ fitted }) => fitted).join(', ');
  return past.length === 1
    ? `${counts} tops fitted in the last year`
    : `${counts} tops fitted in the last ${past.length} years, the latest first`;
}
