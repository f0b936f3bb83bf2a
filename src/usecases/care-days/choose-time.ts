import type { Clock } from '../../domain/care-day/care-day-shape.ts';
import { clockAt } from '../../domain/care-day/care-day-shape.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { Refused } from '../../domain/refusal.ts';
import type { WishPart } from '../../domain/care-day/wishes.ts';
import { WISH_PARTS } from '../../domain/care-day/wishes.ts';
import { storeWish, wishesOf } from '../../store/care-days/wish-rows.ts';
import { placeNamed } from '../../store/care-days/place-rows.ts';
import type { PlaceRow } from '../../store/care-days/place-rows.ts';
import { findLink } from '../../store/letters/link-rows.ts';
import { findOrganisation } from '../../store/organisations/organisation-rows.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { hashOf } from '../context/secret.ts';
import type { Standing } from './care-day-record.ts';
import type { HeldDay } from './care-day-visits.ts';
import { giveBack, giveTime, holdCareDay, timesFor } from './care-day-visits.ts';
import { loadCareDay } from './care-day-record.ts';
import { tellWhoWaits } from './care-day-list.ts';

/** What a member sees behind the link to a care day. */
export interface ChoosePageRecord {
  readonly organisation: {
    readonly name: string;
    readonly postalAddress: string | null;
    readonly phone: string | null;
  };
  readonly language: string;
  readonly registration: string;
  readonly heldOn: Day;
  readonly place: string;
  readonly from: Clock;
  readonly until: Clock;
  readonly minutes: number;
  readonly mayMove: MayMove;
  readonly calledOff: boolean;
  readonly standing: Standing;
  readonly start: Clock | null;
  /** How many stand in the line before it, where it waits. */
  readonly ahead: number;
  /** Times that are free for it; empty where nothing may be chosen. */
  readonly free: readonly Clock[];
  /** The last day for choosing; null where that is over. */
  readonly changeUntil: Day | null;
  /** What is ordered for it with the club; null where nothing can be ordered any more. */
  readonly order: ReadonlyMap<WishPart, number> | null;
  /** What stands now, by name: a form that was made while something else stood changes nothing. */
  readonly was: string;
}

/** What a member pressed. */
export interface ChoosePressed {
  readonly was: string;
  readonly time?: string | undefined;
  readonly wish?: string | undefined;
  /** Pieces by part, where the form of the order was sent. */
  readonly order?: Partial<Record<WishPart, number>> | undefined;
}

/** What a press came to. */
export type ChooseCame =
  | 'placed'
  | 'moved'
  | 'given-back'
  | 'waiting'
  | 'declined'
  | 'ordered'
  | 'gone'
  | 'nothing';

interface Open {
  readonly organisationId: string;
  readonly row: PlaceRow;
}

/** The page behind a link to a care day; null where the link opens nothing. Changes nothing. */
export async function readChoosePage(
  context: Context,
  token: string,
): Promise<ChoosePageRecord | null> {
  const open = await openLink(context, token);
  return open === null ? null : lookBehind(context, open);
}

/**
 * Chooses, moves or gives back a time of a care day, or takes a place in the line. Of two who want the
 * last time the quicker one has it; the other is shown what is left. Whatever is pressed twice, or in
 * an old window, changes nothing. Null where the link opens nothing.
 */
export async function pressChoosePage(
  context: Context,
  token: string,
  pressed: ChoosePressed,
): Promise<{ page: ChoosePageRecord; came: ChooseCame } | null> {
  const open = await openLink(context, token);
  if (open === null) return null;
  const author = { id: `owner:${open.row.ownerId}`, name: '' };
  const came = await actingAs(context, { author }, () => carryOut(context, open, pressed));
  return { page: await lookBehind(context, open), came };
}

async function carryOut(
  context: Context,
  { organisationId, row }: Open,
  { was, time, wish, order }: ChoosePressed,
): Promise<ChooseCame> {
  const now = context.now();
  try {
    return await context.store.write(async (tx): Promise<ChooseCame> => {
      const held = await holdCareDay(tx, organisationId, row.careDayId, now);
      const place = held.places.find(({ id }) => id === row.id);
      if (order !== undefined && place !== undefined && isOpen(held)) {
        for (const [part, pieces] of Object.entries(order)) {
          const whose = { organisationId, careDayId: row.careDayId, carId: row.carId };
          await storeWish(tx.sql, { ...whose, part, pieces }, now);
        }
        return 'ordered';
      }
      if (place === undefined || !isOpen(held) || nameOf(held, row.id) !== was) return 'nothing';
      const { standing } = place;
      if (standing === 'done' || standing === 'missed') return 'nothing';
      if (wish === 'wait') {
        if (standing !== 'asked' && standing !== 'declined') return 'nothing';
        if (timesFor(held, place).length > 0) return 'gone';
        await giveBack(context, tx, held, place, { answer: 'waiting', waitingSince: now });
        return 'waiting';
      }
      if (wish === 'give-back') {
        await giveBack(context, tx, held, place, { answer: 'declined', waitingSince: null });
        await tellWhoWaits(context, tx, organisationId, row.careDayId);
        return standing === 'placed' ? 'given-back' : 'declined';
      }
      const start = timesFor(held, place).find((at) => clockAt(at) === time);
      if (start === undefined) return 'gone';
      await giveTime(context, tx, held, place, { start });
      if (standing !== 'placed') return 'placed';
      await tellWhoWaits(context, tx, organisationId, row.careDayId);
      return 'moved';
    });
  } catch (fault) {
    if (fault instanceof Refused) return 'gone';
    throw fault;
  }
}

function isOpen({ day }: Pick<HeldDay, 'day'>): boolean {
  return day.state === 'open' && day.today <= day.changeUntil;
}

/** A link names the car's place on the day, and opens it while the car is still this owner's. */
async function openLink(context: Context, token: string): Promise<Open | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'care-day', hashOf(token), context.now());
  if (link === null || link.subject === null) return null;
  const { organisationId } = link;
  const row = await placeNamed(sql, organisationId, link.subject);
  if (row === null || row.erasedAt !== null || row.ownerId !== link.ownerId) return null;
  return { organisationId, row };
}

async function lookBehind(
  context: Context,
  { organisationId, row }: Open,
): Promise<ChoosePageRecord> {
  const { sql } = context.store;
  const loaded = await loadCareDay(sql, organisationId, row.careDayId, context.now());
  const { day, places } = loaded;
  const place = places.find(({ id }) => id === row.id);
  if (place === undefined) throw new Error('a place went while it was looked at');
  const { standing, waitingSince, mayMove } = place;
  const stays = mayMove.verdict === 'leave';
  const choosing = isOpen(loaded) && !stays && standing !== 'done' && standing !== 'missed';
  const free = choosing ? timesFor(loaded, place).map(clockAt) : [];
  return {
    organisation: await cardOf(context, organisationId),
    language: row.language,
    registration: place.registration,
    heldOn: day.heldOn,
    place: day.place,
    from: day.from,
    until: day.until,
    minutes: place.minutes,
    mayMove,
    calledOff: day.state === 'called-off',
    standing,
    start: place.start,
    ahead: places.filter(
      (one) => one.standing === 'waiting' && (one.waitingSince ?? '') < (waitingSince ?? ''),
    ).length,
    free: free.filter((time) => time !== place.start),
    changeUntil: choosing ? day.changeUntil : null,
    order: isOpen(loaded) ? await orderOf(context, organisationId, row) : null,
    was: nameOf(loaded, row.id),
  };
}

async function orderOf(
  { store }: Context,
  organisationId: string,
  { careDayId, carId }: PlaceRow,
): Promise<Map<WishPart, number>> {
  const wishes = await wishesOf(store.sql, organisationId, careDayId);
  const own = wishes.filter((wish) => wish.carId === carId);
  return new Map(
    WISH_PARTS.map((part) => [part, own.find((wish) => wish.part === part)?.pieces ?? 0]),
  );
}

async function cardOf({ store }: Context, organisationId: string) {
  const found = await findOrganisation(store.sql, organisationId);
  const { name = '', postalAddress = null, phone = null } = found ?? {};
  return { name, postalAddress, phone };
}

function nameOf({ rows }: Pick<HeldDay, 'rows'>, id: string): string {
  const row = rows.find((one) => one.id === id);
  return `${row?.version ?? 0}:${row?.visitId ?? ''}:${row?.visitVersion ?? 0}`;
}
