import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { PARTS } from '../../../domain/parts/kits.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { readVisitPage } from '../../../usecases/day/top-page.ts';
import type { VisitPartsRecord } from '../../../usecases/stock/part-uses.ts';
import { readVisitParts, takeParts } from '../../../usecases/stock/part-uses.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { numberIn, readBy } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showForm } from '../shop/shop-page.ts';

export interface VisitPartsModel {
  readonly visit: string;
  readonly visitHref: string;
  readonly said: boolean;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
}

const EN = localeOf('en-GB');
const taken = z
  .int('Give a whole number of pieces.')
  .min(0, 'Pieces cannot be fewer than none.')
  .max(1_000, 'So many cannot be right for one visit.');
const pieces = z.strictObject({ pieces: z.partialRecord(z.enum(PARTS), taken) });

/** The parts that a visit took from the stock: proposed from its work, said by hand. */
export function visitPartsPages(app: FastifyInstance, context: Context): void {
  const page = async (caller: Visitor, id: string, sent: Sent | null) => {
    const facts = await readVisitPage(context, caller, id);
    const parts = await readVisitParts(context, caller, facts);
    const { visit, car } = facts;
    const on = visit.doneOn === null ? '' : ` on ${EN.day(visit.doneOn)}`;
    const told = { id, words: `${car.registration}: ${visit.kind}${on}`, parts };
    return renderFor(caller, 'visit-parts', ...visitPartsSheet(told, freshOnce(), sent));
  };
  showForm(app, context, '/visits/:id/parts', ({ caller, id }) => page(caller, id, null));
  answerForm(app, context, {
    path: '/visits/:id/parts',
    largest: 4 * 1024,
    record: async ({ caller, params, form }) => {
      const said = readBy(pieces, {
        pieces: Object.fromEntries(
          PARTS.map((part) => [part, numberIn(form, `pieces/${part}`) ?? 0]),
        ),
      });
      await takeParts(context, caller, params.id, said.pieces);
      return { to: `/visits/${params.id}/record?done=parts` };
    },
    show: ({ caller, params }, sent) => page(caller, params.id, sent),
  });
}

function visitPartsSheet(
  {
    id,
    words,
    parts,
  }: { readonly id: string; readonly words: string; readonly parts: VisitPartsRecord },
  once: string,
  sent: Sent | null,
): [Frame, VisitPartsModel] {
  const fields = parts.items.map(({ part, label, pieces: value }) =>
    field(sent, `pieces/${part}`, label, {
      value: value === 0 ? '' : value,
      type: 'number',
      mode: 'numeric',
    }),
  );
  const model: VisitPartsModel = {
    visit: words,
    visitHref: `/visits/${id}/record`,
    said: parts.said,
    form: formOf(`/visits/${id}/parts`, once, sent, fields),
    fields,
  };
  return [{ lang: 'en', title: 'Parts taken', nav: { here: 'stock' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'visit-parts': VisitPartsModel;
  }
}
