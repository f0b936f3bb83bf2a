import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt } from '../../domain/calendar/zone.ts';
import { lettersHaveLeft } from '../../store/letters/past-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import type { Caller, Context } from '../context/context.ts';
import { planRound } from '../round/plan-round.ts';
import { nearMissDay } from './scenario-positions.ts';
import type { SeedOrganisation } from './scenario-seeds.ts';

/** A round that was held in the past; what it wrote has left. */
export interface RoundHappening {
  readonly at: Instant;
  readonly what: 'round';
}

const FROM_DAYS = 400;
// What is owed in the last weeks is written by the round of today.
const UNTIL_DAYS = 64;
const EVERY_DAYS = 7;
const NEAR_MISS_DAYS = 4;

/** Rounds of the past year, once a week and on each day of a near miss; none where nobody remembers. */
export function roundsStory(seed: SeedOrganisation, now: Instant): RoundHappening[] {
  if (seed.pastLetters !== true) return [];
  const { timeZone } = seed.organisation;
  const today = dayIn(timeZone, now);
  const days = new Set<string>();
  for (let ago = FROM_DAYS; ago > UNTIL_DAYS; ago -= EVERY_DAYS) days.add(addDays(today, -ago));
  if (seed.owners.some(({ cars }) => cars.some(({ nearMiss }) => nearMiss !== undefined))) {
    for (let day = 1; day <= NEAR_MISS_DAYS; day++) days.add(addDays(nearMissDay(today), day));
  }
  return [...days].map((day) => ({ what: 'round', at: instantAt(timeZone, day, '12:00') }));
}

export async function replayRound(
  context: Context,
  { organisationId }: Caller,
  tx: Writing,
): Promise<void> {
  await planRound(context, { organisationId, withLetters: false });
  await lettersHaveLeft(tx.sql, organisationId, context.now());
}
