import type { readVisitPage } from '../../../usecases/day/top-page.ts';
import type { VisitPartsRecord } from '../../../usecases/stock/part-uses.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

export interface VisitPartsModel {
  readonly visit: string;
  readonly visitHref: string;
  readonly said: boolean;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
}

type VisitPage = Awaited<ReturnType<typeof readVisitPage>>;

/** The parts that a visit took, in a form. */
export function visitPartsSheet(
  {
    visit,
    car,
    parts,
  }: {
    readonly visit: Pick<VisitPage['visit'], 'id' | 'kind' | 'doneOn'>;
    readonly car: Pick<VisitPage['car'], 'registration'>;
    readonly parts: VisitPartsRecord;
  },
  once: string,
  sent: Sent | null,
  voice: Voice,
): [Frame, VisitPartsModel] {
  const { say, tell } = voice;
  const { id, doneOn } = visit;
  const told = { car: car.registration, kind: say(`stock.take.kind.${visit.kind}`) };
  const fields = parts.items.map(({ part, label, pieces: value }) =>
    field(sent, `pieces/${part}`, tell(label), {
      value: value === 0 ? '' : value,
      type: 'number',
      mode: 'numeric',
    }),
  );
  const model: VisitPartsModel = {
    visit:
      doneOn === null
        ? say('stock.take.visit', told)
        : say('stock.take.visit.on', { ...told, day: voice.day(doneOn) }),
    visitHref: `/visits/${id}/record`,
    said: parts.said,
    form: formOf(`/visits/${id}/parts`, once, sent, fields),
    fields,
  };
  return [{ lang: voice.language, title: say('stock.take.title'), nav: { here: 'stock' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'visit-parts': VisitPartsModel;
  }
}
