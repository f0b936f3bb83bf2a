import type { Instant } from '../../domain/calendar/instant.ts';
import type { Caller, Context } from '../context/context.ts';
import { sellCar } from '../owners/sell-car.ts';
import type { DeskClock, DeskSeed } from './scenario-desk-seeds.ts';

/** A car that got another owner. */
export interface SaleHappening {
  readonly at: Instant;
  readonly what: 'sale';
  readonly car: string;
  readonly buyer: DeskSeed['sales'][number]['buyer'];
}

export function saleStory({ sales }: DeskSeed, clock: DeskClock): SaleHappening[] {
  return sales.map(({ car, daysAgo, buyer }) => ({
    what: 'sale',
    at: clock(daysAgo, '11:30'),
    car,
    buyer,
  }));
}

export async function replaySale(
  context: Context,
  caller: Caller,
  carId: string,
  buyer: SaleHappening['buyer'],
): Promise<void> {
  await sellCar(context, caller, carId, buyer, '*');
}
