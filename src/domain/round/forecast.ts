import type { Day } from '../calendar/day.ts';
import { dueDay } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import type { CarFacts } from './car-facts.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import type { LetterKind } from './letter-kind.ts';
import { isAlarm } from './letter-kind.ts';
import { lettersOwed } from './letters-owed.ts';
import { nextLook } from './next-look.ts';
import type { RoundFigures } from '../letters/round-figures.ts';

/** A letter that would be written if nothing else happened. */
export interface ForecastItem {
  readonly kind: LetterKind;
  readonly ownerId: string;
  readonly carIds: readonly string[];
  readonly on: Day;
}

// More steps than any honest range needs; a fault in a rule must not become an endless loop.
const MOST_STEPS = 20_000;

/**
 * The letters to one owner from `now` until the end of day `to`, from the same rules as the round:
 * time is moved from one look to the next. Each lubrication is taken as done in time and its due
 * days stay anchor + n × interval; nothing else is recorded.
 */
export function forecastFor(
  cars: readonly CarFacts[],
  alreadySaid: ReadonlySet<string>,
  now: Instant,
  to: Day,
  figures: RoundFigures = figuresOf(cars[0]?.organisation).round,
): ForecastItem[] {
  const said = new Set(alreadySaid);
  const items: ForecastItem[] = [];
  let current = cars.map((car) => ({ car, turn: 1 }));
  let at: Instant | null = now;
  for (let step = 0; at !== null && step < MOST_STEPS; step++) {
    const owner = current[0]?.car.owner;
    if (owner === undefined) break;
    const today = dayIn(owner.timeZone, at);
    if (today > to) break;
    const letters = lettersOwed(
      current.map(({ car }) => car),
      said,
      at,
      figures,
    );
    let adviceSent = owner.adviceSent;
    let { lastCareOn, lastAlarmOn } = owner;
    for (const letter of letters) {
      const on = dayIn(owner.timeZone, letter.notBefore);
      const carIds = [...new Set(letter.occasions.map((occasion) => occasion.carId))];
      if (isAlarm(letter.kind)) lastAlarmOn = on;
      if (on <= to) items.push({ kind: letter.kind, ownerId: owner.id, carIds, on });
      for (const { key, carId, detail } of letter.occasions) {
        said.add(key);
        if (detail.matter !== 'care') continue;
        lastCareOn = on;
        const topId = current.find(({ car }) => car.id === carId)?.car.top?.id ?? '';
        adviceSent = [...adviceSent, { adviceId: detail.advice.id, topId, on }];
      }
    }
    const instant: Instant = at;
    const spoken = { adviceSent, lastCareOn, lastAlarmOn };
    current = current.map((entry) =>
      doneInTime({ ...entry, car: { ...entry.car, owner: { ...owner, ...spoken } } }, today),
    );
    at = current
      .map(({ car }) => nextLook(car, instant, figures))
      .filter((look) => look !== null)
      .reduce<Instant | null>((a, b) => (a === null || b < a ? b : a), null);
  }
  return items.sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : a.kind < b.kind ? -1 : 1));
}

/** Once the due day has come and was written about, the visit counts as done and the next one is due. */
function doneInTime(entry: { car: CarFacts; turn: number }, today: Day): typeof entry {
  const { top } = entry.car;
  if (top === null || today < top.dueOn) return entry;
  const anchor = top.lastOn ?? top.fittedOn;
  let turn = entry.turn;
  let dueOn = top.dueOn;
  while (dueOn <= today) dueOn = dueDay(anchor, top.intervalMonths, ++turn);
  return { car: { ...entry.car, top: { ...top, dueOn, booked: false } }, turn };
}
