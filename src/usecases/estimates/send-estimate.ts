import { addDays } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { Fault } from '../../domain/refusal.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import {
  findEstimate,
  linesOf,
  readerOfEstimate,
  replaceWaiting,
  storeEstimate,
} from '../../store/estimates/estimate-rows.ts';
import { lockCarsOfOwner } from '../../store/cars/owner-page-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { requireVersion } from '../context/version.ts';
import { organisationFigures } from '../figures/shop-rules.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { tellOwners } from '../round/plan-round.ts';
import type { EstimateRecord } from './estimate-records.ts';
import { estimateRecord } from './estimate-records.ts';
import { nobodyLeft } from '../own/owner-records.ts';
import { heldDraft } from './make-estimate.ts';

/**
 * Sends an estimate to the owner of its car: from now on it holds for so many days, and those of this
 * top that waited are replaced by it. The letter is the round's, held at once for this owner; where none
 * can be written, it is handed over on paper. Without `tell` it is not held now: the next round tells
 * of it if it waits still.
 */
export async function sendEstimate(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
  { tell = true }: { readonly tell?: boolean } = {},
): Promise<EstimateRecord> {
  requireRight(caller, 'keep-owners');
  const now = context.now();
  const { organisationId } = caller;
  await context.store.writeSql(async (sql) => {
    const known = await findEstimate(sql, organisationId, id);
    if (known === null) throw notFound('estimate');
    await lockCarsOfOwner(sql, known.ownerId);
    const row = await heldDraft(sql, caller, id, version);
    const reader = await readerOfEstimate(sql, id);
    if (reader === null || reader.carOwnerId !== row.ownerId) {
      throw conflict('The car has another owner by now. Make an estimate for that one.');
    }
    if (reader.ownerErasedAt !== null) throw nobodyLeft();
    if (reader.retiredOn !== null) {
      throw conflict('This top is not on the car any more. Make an estimate for the one that is.');
    }
    refuseUnpriced(await linesOf(sql, [id]));
    const { holdsDays } = await organisationFigures(sql, organisationId, 'estimate');
    const holdsUntil = addDays(dayIn(reader.ownerZone, now), holdsDays);
    await replaceWaiting(sql, row.topId, id);
    await storeEstimate(sql, { ...row, state: 'sent', sentAt: now, holdsUntil });
    await reconsiderCars(sql, [row.carId], now);
    if (!tell) return;
    const ownStyle = await loadOwnStyle(sql, organisationId);
    await tellOwners(context, sql, [row.ownerId], now, ownStyle);
  });
  return estimateRecord(context.store.sql, caller, id);
}

/** Takes an estimate back: a draft, or one that waits for its answer, whose link then says so. */
export async function withdrawEstimate(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<EstimateRecord> {
  const now = context.now();
  await context.store.writeSql(async (sql) => {
    const known = await findEstimate(sql, caller.organisationId, id);
    if (known === null) throw notFound('estimate');
    await lockCarsOfOwner(sql, known.ownerId);
    const row = await findEstimate(sql, caller.organisationId, id, true);
    if (row === null) throw notFound('estimate');
    requireVersion(version, row.version);
    if (row.state !== 'draft' && row.state !== 'sent') {
      throw conflict('This estimate has come to its end already.');
    }
    await storeEstimate(sql, { ...row, state: 'withdrawn' });
    await reconsiderCars(sql, [row.carId], now);
  });
  return estimateRecord(context.store.sql, caller, id);
}

/** Every line needs a price before anybody can agree to it. */
function refuseUnpriced(lines: Awaited<ReturnType<typeof linesOf>>): void {
  const faults = lines.flatMap(({ unitPrice, text }): Fault[] =>
    unitPrice === null
      ? [{ pointer: '#/works', detail: `Say first what this costs: ${text.slice(0, 80)}.` }]
      : [],
  );
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
}

function conflict(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
