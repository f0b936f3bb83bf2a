import type { OwnWords } from '../../../usecases/cars/earlier-words.ts';
import type { CarRecord } from '../../../usecases/own/car-records.ts';
import type { TopRecord } from '../../../usecases/own/top-records.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { TopFields } from './new-car-sheet.ts';
import {
  MATERIALS,
  unchosen,
  WARRANTIES_SHOWN,
  whatOthersPromise,
  WINDOWS,
} from './new-car-sheet.ts';
import type { WordList } from './word-fields.ts';
import { topWordFields, wordLists } from './word-fields.ts';

export interface ChangeTopModel {
  readonly registration: string;
  readonly carHref: string;
  readonly version: string;
  readonly form: FormModel;
  readonly top: TopFields;
  readonly frame: string;
  readonly withdraw: FormModel;
  readonly lists: readonly WordList[];
}

/** A top put right, or taken back where it was recorded by mistake. */
export function changeTopSheet(
  {
    top,
    car,
    words,
  }: { readonly top: TopRecord; readonly car: CarRecord; readonly words: OwnWords },
  once: string,
  sent: Sent | null,
): [Frame, ChangeTopModel] {
  const fields = [
    field(sent, 'fittedOn', 'Fitted on', { type: 'date', value: top.fittedOn, needed: true }),
    choice(sent, 'cover/material', 'Cover', unchosen(MATERIALS), { value: top.cover.material }),
    choice(sent, 'window', 'Window', unchosen(WINDOWS), { value: top.window }),
    choice(
      sent,
      'powered',
      'Folds',
      [
        ['no', 'by hand'],
        ['yes', 'powered'],
      ],
      { value: top.powered ? 'yes' : 'no' },
    ),
    ...topWordFields(sent, top),
  ];
  const rows = Math.max(WARRANTIES_SHOWN, top.warranties.length + 1);
  const warranties = Array.from({ length: rows }, (_, i) => [
    field(sent, `warranties/${i}/part`, `Warranty ${i + 1}: part`, {
      value: top.warranties[i]?.part,
    }),
    field(sent, `warranties/${i}/months`, `Warranty ${i + 1}: months`, {
      mode: 'numeric',
      value: top.warranties[i]?.months,
    }),
  ]);
  const model: ChangeTopModel = {
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    version: String(top.version),
    form: formOf(`/tops/${top.id}/change`, once, sent, [...fields, ...warranties.flat()]),
    top: { fields, warranties, ...whatOthersPromise() },
    frame: top.framePattern.replaceAll('-', ' '),
    withdraw: formOf(`/tops/${top.id}/withdraw`, once, null, []),
    lists: wordLists(words),
  };
  return [{ lang: 'en', title: 'Put a top right', nav: { here: 'tops' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'change-top': ChangeTopModel;
  }
}
