import { ADVICE, adviceFor } from '../advice/advice-rows.ts';
import { careAdvice } from '../advice/choose.ts';
import type { AdviceFacts } from '../advice/advice.ts';
import { hemisphereOf } from '../advice/hemisphere.ts';
import type { Day } from '../calendar/day.ts';
import { addDays, addMonths, daysBetween, isoWeekOf } from '../calendar/day.ts';
import type { Instant } from '../calendar/instant.ts';
import { dayIn } from '../calendar/zone.ts';
import { foldedClock } from '../folding/clock.ts';
import { overFor, stillsBy } from '../folding/still.ts';
import type { CarFacts, TopFacts } from './car-facts.ts';
import { figuresOf } from '../figure-tables/letter-figures.ts';
import { lookDue } from '../lubrication/look-again.ts';
import { keyed, keyedOnce } from './move-mark.ts';
import type { Occasion } from './occasion.ts';
import type { RoundFigures } from '../letters/round-figures.ts';

/**
 * Everything that is true and worth writing about one car at an instant, whether or not it has been
 * written already. It depends on nothing else, so a letter is still true exactly while its key is in
 * this list. What was missed and is no longer worth saying is not in it.
 */
export function occasionsOwed(
  car: CarFacts,
  at: Instant,
  figures: RoundFigures = figuresOf(car.organisation).round,
): Occasion[] {
  const today = dayIn(car.owner.timeZone, at);
  const { top } = car;
  return [
    ...foldedOccasions(car, at),
    ...stayOccasions(car),
    ...(top === null
      ? []
      : [
          ...lubricationOccasions(car, top, today, figures),
          ...lookOccasions(car, top, today),
          ...offerOccasions(car, top, today),
          ...careDayOccasions(car, today),
          ...estimateOccasions(car, top, today),
          ...warrantyOccasions(car, top, today, figures),
        ]),
  ];
}

/** Care that may be said on a day to the owner of a car; empty during the pause after a note. */
export function careOccasions(
  car: CarFacts,
  today: Day,
  figures: RoundFigures = figuresOf(car.organisation).round,
): Occasion[] {
  const { top, owner } = car;
  // Most care moves the top in some way; what a top that must stay needs is said in its own letters.
  if (top === null || today < top.fittedOn || car.mayMove.verdict === 'leave') return [];
  if (owner.lastCareOn !== null && daysBetween(owner.lastCareOn, today) < figures.carePauseDays) {
    return [];
  }
  const facts = { ...adviceFactsOf(car, top, today, figures), today };
  const rows = adviceFor(car.organisation.kind);
  return careAdvice(facts, figuresOf(car.organisation).advice, rows).map((advice) => ({
    kind: 'care-note',
    ...keyed(`care-note:${top.id}:${advice.id}:${today.slice(0, 7)}`, car.mayMove),
    carId: car.id,
    detail: { matter: 'care', advice },
  }));
}

/** The advice and the top that the key of a care note's occasion names. */
export function adviceIn(key: string): { adviceId: string; topId: string } {
  const [, topId = '', adviceId = ''] = key.split(':');
  return { adviceId, topId };
}

// What follows from the age of a top is news for each top; the rest an owner needs to read once.
const TOLD_BY_TOP: ReadonlySet<string> = new Set(
  ADVICE.filter(({ when }) => when.some(({ kind }) => kind.endsWith('-after-fitting'))).map(
    ({ id }) => id,
  ),
);

/** What the choice of advice asks of a car on a day. */
export function adviceFactsOf(
  car: CarFacts,
  top: TopFacts,
  day: Day,
  figures: RoundFigures = figuresOf(car.organisation).round,
): AdviceFacts {
  return {
    hemisphere: hemisphereOf(car.timeZone),
    top: {
      fittedOn: top.fittedOn,
      material: top.material,
      window: top.window,
      powered: top.powered,
      keeping: car.keeping,
      // One interval before it is due: in the forecast an oiling that was due counts as done.
      oiledOn: addMonths(top.dueOn, -top.intervalMonths),
      oilingBooked: top.booked,
      oilAsked: oilPast(top, day) >= -figures.aheadDays,
      foldsPerYear: car.keeping.foldsPerYear ?? null,
      ...movedOf(car),
      freeToMove: car.mayMove.verdict === 'free',
    },
    events: car.events,
    alreadySent: car.owner.adviceSent.filter(
      ({ adviceId, topId }) => topId === top.id || !TOLD_BY_TOP.has(adviceId),
    ),
  };
}

/** Days from the one on which oil is asked for to another; nobody is late before the find that made the day. */
function oilPast({ dueOn, askedSince }: TopFacts, day: Day): number {
  return daysBetween(askedSince ?? dueOn, day);
}

/** When the top was last moved, and where it is, by the log. */
function movedOf({ entries, timeZone }: CarFacts): { lastMovedOn: Day | null; down: boolean } {
  let last: CarFacts['entries'][number] | null = null;
  for (const entry of entries) {
    if (entry.withdrawn === true) continue;
    if (last === null || entry.at >= last.at) last = entry;
  }
  if (last === null) return { lastMovedOn: null, down: false };
  return { lastMovedOn: dayIn(timeZone, last.at), down: last.position !== 'raised' };
}

function lubricationOccasions(
  car: CarFacts,
  top: TopFacts,
  today: Day,
  figures: RoundFigures,
): Occasion[] {
  // What is booked to be repaired is oiled there.
  if (top.booked || isRepairAhead(car, today)) return [];
  const { dueOn } = top;
  const askedOn = top.askedSince ?? dueOn;
  const past = oilPast(top, today);
  const occasion = (kind: Occasion['kind'], step = ''): Occasion[] => [
    {
      kind,
      ...keyed(`${kind}:${top.id}:${dueOn}${step}`, car.mayMove),
      carId: car.id,
      detail: { matter: 'lubrication', dueOn: askedOn, lateDays: Math.max(0, past) },
    },
  ];
  if (past < -figures.aheadDays) return [];
  if (past < 0 && today < dueOn) return occasion('lubrication-ahead');
  if (past < figures.firstLateDays) return occasion('lubrication-due');
  if (past < figures.secondLateDays) return occasion('lubrication-late', ':1');
  if (car.organisation.kind === 'private') {
    const times = Math.floor((past - figures.secondLateDays) / figures.privateLateDays);
    return occasion('lubrication-late', `:${2 + times}`);
  }
  // After that it is a matter for the call list, not for a third letter.
  return past < figures.secondLateDays + figures.lateSayableDays
    ? occasion('lubrication-late', ':2')
    : [];
}

/** A look is asked for in its window, once more after it, and by no letter after that. */
function lookOccasions(car: CarFacts, top: TopFacts, today: Day): Occasion[] {
  const figures = figuresOf(car.organisation).look;
  const look = lookDue({ since: top.lookAfterOn, oilDueOn: top.dueOn, today }, figures);
  // What must stay is repaired first, and looked at after that.
  if (look === null || look.state === 'ahead' || car.mayMove.verdict === 'leave') return [];
  if (top.lookBookedBy !== null && top.lookBookedBy <= look.windowTo) return [];
  const late = today >= addDays(look.windowTo, figures.lateDays);
  const kind = late ? 'look-late' : 'look-due';
  return [
    {
      kind,
      ...keyed(`${kind}:${top.id}:${look.since}`, car.mayMove),
      carId: car.id,
      detail: { matter: 'look', look },
    },
  ];
}

/** A top that must not be moved wants a repair first, and a word about it: no choice of weeks. */
function offerOccasions(car: CarFacts, top: TopFacts, today: Day): Occasion[] {
  if (car.mayMove.verdict === 'leave' || car.organisation.kind === 'private') return [];
  return (top.offers ?? []).flatMap(({ id, kind, weeks: kept }) => {
    const weeks = kept.filter((week) => week >= isoWeekOf(today).id);
    if (weeks.length === 0) return [];
    return [
      {
        kind: 'visit-offered' as const,
        key: `visit-offered:${id}`,
        alike: [],
        stay: false,
        carId: car.id,
        detail: { matter: 'offer' as const, offerId: id, visit: kind, weeks },
      },
    ];
  });
}

/** A car that must not be moved is not asked to be driven anywhere. */
function careDayOccasions(car: CarFacts, today: Day): Occasion[] {
  if (car.mayMove.verdict === 'leave') return [];
  const { changeDays } = figuresOf(car.organisation).careDay;
  return (car.careDays ?? []).flatMap((day) => {
    const changeUntil = addDays(day.heldOn, -changeDays);
    if (today > changeUntil) return [];
    return [
      {
        kind: 'care-day-asked' as const,
        key: `care-day-asked:${day.placeId}:${day.asked}`,
        alike: [],
        stay: false,
        carId: car.id,
        detail: { matter: 'care-day' as const, day, changeUntil },
      },
    ];
  });
}

/** What a repair would cost is told of a top that must stay too: it does not ask to move it. */
function estimateOccasions(car: CarFacts, top: TopFacts, today: Day): Occasion[] {
  return (car.estimates ?? [])
    .filter(({ topId, holdsUntil }) => topId === top.id && today <= holdsUntil)
    .map((estimate) => ({
      kind: 'estimate',
      ...keyedOnce(`estimate:${estimate.id}`, car.mayMove),
      carId: car.id,
      detail: { matter: 'estimate', estimate },
    }));
}

function foldedOccasions(car: CarFacts, at: Instant): Occasion[] {
  if (car.entries.length === 0) return [];
  const { folding } = figuresOf(car.organisation);
  const clock = foldedClock(
    { zone: car.timeZone, limitDays: car.foldedLimitDays, entries: car.entries, at },
    folding,
  );
  const { stretch } = clock;
  // While it is raised, even for a short rest, there is nothing to ask of the owner.
  if (stretch === null || clock.position !== 'folded' || stretch.state === 'within') return [];
  const coverOn = coverNow(car, at);
  // Whoever got the car with its top down is told anew, and of no time before it was hers.
  const tookOverAt =
    car.ownerSince !== undefined && stretch.startedAt < car.ownerSince ? car.ownerSince : null;
  const occasion = (kind: Occasion['kind'], step = ''): Occasion[] => [
    {
      kind,
      ...keyed(`${kind}:${car.id}:${tookOverAt ?? stretch.startedAt}${step}`, car.mayMove),
      carId: car.id,
      detail: { matter: 'folded', stretch, coverOn, tookOverAt },
    },
  ];
  if (stretch.state === 'nearing') return occasion('folded-nearing');
  const overAt = overFor(stretch.overAt, car.ownerSince);
  const weeks = stillsBy(car.timeZone, overAt, at, folding);
  return weeks === 0 ? occasion('folded-over') : occasion('folded-still', `:${weeks}`);
}

/**
 * That a top must stay as it is, as long as that is so. Whoever buys the car has to be told too, so the
 * key names the owner.
 */
function stayOccasions(car: CarFacts): Occasion[] {
  const { top, owner, mayMove, staysSince } = car;
  if (top === null || mayMove.verdict !== 'leave' || staysSince === undefined) return [];
  return [
    {
      kind: 'must-stay',
      ...keyedOnce(`must-stay:${top.id}:${owner.id}:${staysSince}`, mayMove),
      carId: car.id,
      detail: { matter: 'stay', since: staysSince },
    },
  ];
}

function coverNow(car: CarFacts, at: Instant): boolean | null {
  let latest: CarFacts['entries'][number] | null = null;
  for (const entry of car.entries) {
    if (entry.withdrawn || entry.at > at || entry.position !== 'folded') continue;
    if (latest === null || entry.at >= latest.at) latest = entry;
  }
  return latest?.coverOn ?? null;
}

function warrantyOccasions(
  car: CarFacts,
  top: TopFacts,
  today: Day,
  figures: RoundFigures,
): Occasion[] {
  return warrantiesEnding(top, today, figures).map(({ part, endsOn }) => ({
    kind: 'warranty-ending',
    ...keyedOnce(`warranty-ending:${top.id}:${part}:${endsOn}`, car.mayMove),
    carId: car.id,
    detail: { matter: 'warranty', part, endsOn },
  }));
}

function isRepairAhead({ mayMove: { verdict, repairOn } }: CarFacts, today: Day): boolean {
  return verdict === 'leave' && repairOn !== null && repairOn >= today;
}

/** The terms of a top whose end is near enough to be written about and has not come yet. */
export function warrantiesEnding(
  top: Pick<TopFacts, 'fittedOn' | 'warranties'>,
  today: Day,
  figures: Pick<RoundFigures, 'warrantyAheadDays'>,
): { part: string; endsOn: Day }[] {
  return top.warranties
    .map(({ part, months }) => ({ part, endsOn: addMonths(top.fittedOn, months) }))
    .filter(({ endsOn }) => today >= addDays(endsOn, -figures.warrantyAheadDays) && today < endsOn);
}
