import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { MayMove } from '../../domain/may-move/move-verdict.ts';
import { Refused } from '../../domain/refusal.ts';
import type { EstimateReaderRow } from '../../store/estimates/estimate-rows.ts';
import { readerOfEstimate } from '../../store/estimates/estimate-rows.ts';
import { findLink, storeLinks } from '../../store/letters/link-rows.ts';
import { diaryCalendar } from '../bench/diary-calendar.ts';
import { ownerCaller } from '../cars/owner-car.ts';
import { actingAs } from '../context/acting.ts';
import type { Caller, Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import { hashOf } from '../context/secret.ts';
import { mayMoveNow } from '../own/may-move.ts';
import { answerEstimate } from './answer-estimate.ts';
import type { EstimateRecord } from './estimate-records.ts';
import { estimateRecord } from './estimate-records.ts';

/** What an owner sees behind the link to an estimate. */
export interface EstimatePageRecord {
  readonly organisation: {
    readonly name: string;
    readonly kind: EstimateReaderRow['organisationKind'];
    readonly postalAddress: string | null;
    readonly phone: string | null;
  };
  readonly language: string;
  readonly ownerName: string;
  readonly registration: string;
  readonly mayMove: MayMove;
  readonly estimate: EstimateRecord;
  /** The day that it is where the owner is. */
  readonly today: Day;
  /** It waits for an answer, and still holds. */
  readonly open: boolean;
  /** The owner may choose a day for what was agreed to. */
  readonly booking: boolean;
}

/** What was pressed: the lines of the work that is wanted, and how it stood when the page was made. */
export interface EstimatePress {
  readonly was: string;
  readonly accepted: readonly string[];
}

export type EstimateCame = 'answered' | 'nothing';

interface Opened {
  readonly page: EstimatePageRecord;
  readonly caller: Caller;
}

/** The page behind a link to an estimate; null where the link opens nothing. Changes nothing. */
export async function readEstimatePage(
  context: Context,
  token: string,
): Promise<EstimatePageRecord | null> {
  return (await openLink(context, token))?.page ?? null;
}

/**
 * Answers an estimate behind its link. A page says what stood when it was made, so whatever is pressed
 * twice, in an old window, after it was changed or after it has ended changes nothing. Null where the
 * link opens nothing.
 */
export async function pressEstimatePage(
  context: Context,
  token: string,
  { was, accepted }: EstimatePress,
): Promise<{ page: EstimatePageRecord; came: EstimateCame } | null> {
  const opened = await openLink(context, token);
  if (opened === null) return null;
  const { page, caller } = opened;
  const { id, version } = page.estimate;
  if (!page.open || was !== String(version)) return { page, came: 'nothing' };
  try {
    await actingAs(context, caller, () =>
      answerEstimate(
        context,
        caller,
        id,
        { accepted: new Set(accepted) },
        { version, late: false },
      ),
    );
  } catch (fault) {
    if (!(fault instanceof Refused)) throw fault;
    return { page: (await openLink(context, token))?.page ?? page, came: 'nothing' };
  }
  return { page: (await openLink(context, token))?.page ?? page, came: 'answered' };
}

/** A fresh link to the days on which what was agreed to can be done; null where there are none to choose. */
export async function linkToDays(context: Context, token: string): Promise<string | null> {
  const opened = await openLink(context, token);
  if (opened === null || !opened.page.booking) return null;
  const { estimate } = opened.page;
  const { url, row } = newLink(context.publicUrl, context.now(), {
    organisationId: opened.caller.organisationId,
    ownerId: estimate.ownerId,
    carId: estimate.carId,
    purpose: 'book',
    subject: `repair ${estimate.topId}`,
  });
  await context.store.writeSql((sql) => storeLinks(sql, [row]));
  return new URL(url).pathname;
}

async function openLink(context: Context, token: string): Promise<Opened | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'estimate', hashOf(token), context.now());
  if (link === null || link.ownerId === null || link.subject === null) return null;
  const { organisationId, ownerId, subject } = link;
  const reader = await readerOfEstimate(sql, subject);
  if (reader === null || reader.ownerErasedAt !== null || reader.carOwnerId !== ownerId)
    return null;
  const estimate = await estimateRecord(sql, { organisationId }, subject);
  const caller = ownerCaller({ id: ownerId, organisationId, name: reader.ownerName });
  const today = dayIn(reader.ownerZone, context.now());
  const { takesBookings } = await diaryCalendar(sql, organisationId, context.now());
  const mayMove = await mayMoveNow(sql, organisationId, { ...estimate, ...reader }, context.now());
  const holds = estimate.holdsUntil !== null && today <= estimate.holdsUntil;
  const isOnCar = reader.retiredOn === null;
  return {
    caller,
    page: {
      organisation: {
        name: reader.organisationName,
        kind: reader.organisationKind,
        postalAddress: reader.postalAddress,
        phone: reader.phone,
      },
      language: reader.language,
      ownerName: reader.ownerName,
      registration: reader.registration,
      mayMove,
      estimate,
      today,
      open: estimate.state === 'sent' && holds && isOnCar,
      booking: takesBookings && isOnCar && (estimate.agreed?.net ?? 0) > 0,
    },
  };
}
