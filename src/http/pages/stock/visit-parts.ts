import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { PARTS } from '../../../domain/parts/kits.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { readVisitPage } from '../../../usecases/day/top-page.ts';
import { readVisitParts, takeParts } from '../../../usecases/stock/part-uses.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { numberIn, readBy } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';
import { visitPartsSheet } from './visit-parts-sheet.ts';

const taken = z
  .int('Give a whole number of pieces.')
  .min(0, 'Pieces cannot be fewer than none.')
  .max(1_000, 'So many cannot be right for one visit.');
const pieces = z.strictObject({ pieces: z.partialRecord(z.enum(PARTS), taken) });

/** The parts that a visit took from the stock: proposed from its work, said by hand. */
export function visitPartsPages(app: FastifyInstance, context: Context): void {
  const page = async (
    { caller, voice }: { readonly caller: Visitor; readonly voice: Voice },
    id: string,
    sent: Sent | null,
  ) => {
    const facts = await readVisitPage(context, caller, id);
    const parts = await readVisitParts(context, caller, facts);
    return renderFor(
      caller,
      'visit-parts',
      ...visitPartsSheet({ ...facts, parts }, freshOnce(), sent, voice),
    );
  };
  showForm(app, context, '/visits/:id/parts', (asking) => page(asking, asking.id, null));
  answerForm(app, context, {
    path: '/visits/:id/parts',
    largest: 4 * 1024,
    record: async ({ caller, params, form }) => {
      const typed = readBy(pieces, {
        pieces: Object.fromEntries(
          PARTS.map((part) => [part, numberIn(form, `pieces/${part}`) ?? 0]),
        ),
      });
      await takeParts(context, caller, params.id, typed.pieces);
      return { to: `/visits/${params.id}/record?done=parts` };
    },
    show: (sending, sent) => page(sending, sending.params.id, sent),
  });
}
