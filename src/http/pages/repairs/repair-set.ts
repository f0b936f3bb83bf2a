import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { THREADS } from '../../../domain/hardware/iso-sizes.ts';
import { invalid, Refused } from '../../../domain/refusal.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { readTopPage } from '../../../usecases/day/top-page.ts';
import type { RepairRequest } from '../../../usecases/workshop/hardware-sheets.ts';
import { showRepairSet } from '../../../usecases/workshop/hardware-sheets.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { numberIn, readBy, textIn } from '../shop/form-body.ts';
import { faultsInForm } from '../shop/refusal-words.ts';
import { pathOf } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { repairSetSheet } from './repair-set-sheet.ts';

const FIELDS = ['pivot', 'thread', 'across', 'square', 'leaf'] as const;

const measured = z.number().min(1).max(100).optional();
const question = z.strictObject({
  pivot: z.string().max(20).optional(),
  thread: z.enum(THREADS).optional(),
  across: measured,
  square: measured,
  leaf: z.number().min(5).max(200).optional(),
});

/** What the repair of a joint takes, sized from the hole that was found there. It keeps nothing. */
export function repairSetPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/tops/:id/repair-set', async ({ caller, voice, id, query }) => {
    const top = await readTopPage(context, caller, id);
    const typed = Object.fromEntries(FIELDS.map((name) => [name, query(name) ?? '']));
    try {
      const asked = askedIn(typed);
      const set = await showRepairSet(context, caller, id, asked);
      const sent: Sent = { typed, faults: [] };
      return renderFor(caller, 'repair-set', ...repairSetSheet(top, set, asked, sent, voice));
    } catch (fault) {
      if (!(fault instanceof Refused) || fault.refusal.kind === 'not-found') throw fault;
      const sent: Sent = { typed, faults: faultsInForm(fault.refusal, fieldAt, voice) };
      return renderFor(caller, 'repair-set', ...repairSetSheet(top, null, {}, sent, voice));
    }
  });
}

/** Refused: one diameter without the other, since a hole that is oval is seen across two. */
function askedIn(typed: SmallForm): RepairRequest {
  const { pivot, thread, across, square, leaf } = readBy(question, {
    pivot: textIn(typed, 'pivot'),
    thread: textIn(typed, 'thread'),
    across: numberIn(typed, 'across'),
    square: numberIn(typed, 'square'),
    leaf: numberIn(typed, 'leaf'),
  });
  if ((across === undefined) !== (square === undefined)) {
    throw invalid(
      across === undefined ? '#/across' : '#/square',
      'Measure the hole both ways, at right angles: an oval one is seen only so.',
    );
  }
  if (pivot === undefined && (across !== undefined || leaf !== undefined)) {
    throw invalid('#/pivot', 'Say at which joint this was measured.');
  }
  return {
    pivot,
    thread,
    diametersMm: across === undefined || square === undefined ? undefined : [across, square],
    leafWidthMm: leaf,
  };
}

/** The question of the API names both diameters together, and is a query. */
function fieldAt(pointer: string): string | null {
  return pointer === 'diametersMm' ? 'across' : (pathOf(pointer) ?? pointer);
}
