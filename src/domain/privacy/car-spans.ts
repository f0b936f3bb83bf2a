import type { Instant } from '../calendar/instant.ts';

/** A time in which an owner had a car; null where it goes back as far as the records, or lasts. */
export interface CarSpan {
  readonly carId: string;
  readonly from: Instant | null;
  readonly until: Instant | null;
}

/** That a car went from one owner to another. */
export interface Sale {
  readonly carId: string;
  readonly at: Instant;
  readonly seller: string;
  readonly buyer: string;
}

/**
 * When an owner had which car: those she has now, and those she had and sold. What was recorded of a
 * car in another's time is another's.
 */
export function carSpans(
  ownerId: string,
  carsNow: readonly string[],
  sales: readonly Sale[],
): CarSpan[] {
  const cars = new Set([...carsNow, ...sales.map(({ carId }) => carId)]);
  return [...cars].flatMap((carId) => {
    const own = sales
      .filter((sale) => sale.carId === carId)
      .toSorted((a, b) => (a.at < b.at ? -1 : 1));
    const spans: CarSpan[] = [];
    let from: Instant | null = null;
    for (const { at, seller } of own) {
      if (seller === ownerId) spans.push({ carId, from, until: at });
      from = at;
    }
    return carsNow.includes(carId) ? [...spans, { carId, from, until: null }] : spans;
  });
}

/** Whether an instant lies in one of the times in which the owner had the car. */
export function hadCarAt(spans: readonly CarSpan[], carId: string, at: Instant): boolean {
  return spans.some(
    (span) =>
      span.carId === carId &&
      (span.from === null || at >= span.from) &&
      (span.until === null || at < span.until),
  );
}
