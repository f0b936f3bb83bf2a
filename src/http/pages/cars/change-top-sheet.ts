import type { OwnWords } from '../../../usecases/cars/earlier-words.ts';
import type { CarRecord } from '../../../usecases/own/car-records.ts';
import type { TopRecord } from '../../../usecases/own/top-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { dayField } from '../frame/day-fields.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { patternInWords } from '../frame/pattern-words.ts';
import type { TopFields } from './new-car-sheet.ts';
import {
  materials,
  POWERED,
  WARRANTIES_SHOWN,
  whatOthersPromise,
  windows,
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
  voice: Voice,
): [Frame, ChangeTopModel] {
  const { say } = voice;
  const fields = [
    dayField(sent, 'fittedOn', say('top-field.fitted'), voice, {
      value: top.fittedOn,
      needed: true,
    }),
    choice(sent, 'cover/material', say('top-field.cover'), materials(voice), {
      value: top.cover.material,
    }),
    choice(sent, 'window', say('top-field.window'), windows(voice), { value: top.window }),
    choice(
      sent,
      'powered',
      say('top-field.powered'),
      spokenChoices(voice, 'top-field.powered', POWERED),
      { value: top.powered ? 'yes' : 'no' },
    ),
    ...topWordFields(sent, top, voice),
  ];
  const rows = Math.max(WARRANTIES_SHOWN, top.warranties.length + 1);
  const warranties = Array.from({ length: rows }, (_, i) => [
    field(sent, `warranties/${i}/part`, say('top-field.warranty.part', { n: String(i + 1) }), {
      value: top.warranties[i]?.part,
    }),
    field(sent, `warranties/${i}/months`, say('top-field.warranty.months', { n: String(i + 1) }), {
      mode: 'numeric',
      value: top.warranties[i]?.months,
    }),
  ]);
  const model: ChangeTopModel = {
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    version: String(top.version),
    form: formOf(`/tops/${top.id}/change`, once, sent, [...fields, ...warranties.flat()]),
    top: { fields, warranties, ...whatOthersPromise(voice) },
    frame: patternInWords(top.framePattern, voice.tell),
    withdraw: formOf(`/tops/${top.id}/withdraw`, once, null, []),
    lists: wordLists(words),
  };
  const title = say('change-top.title');
  return [{ lang: voice.language, title, nav: { here: 'tops' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'change-top': ChangeTopModel;
  }
}
