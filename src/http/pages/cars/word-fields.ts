import type { OwnWords } from '../../../usecases/cars/earlier-words.ts';
import type { CarRecord } from '../../../usecases/own/car-records.ts';
import type { TopRecord } from '../../../usecases/own/top-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, Sent } from '../frame/form.ts';
import { field } from '../frame/form.ts';
import { numberIn, textIn } from '../shop/form-body.ts';
import type { SmallForm } from '../frame/small-form.ts';

/** Lists of words to be offered beside fields, by the id that the fields name. */
export interface WordList {
  readonly id: string;
  readonly words: readonly string[];
}

/** What a car is, in the shop's own words. */
export function carWordFields(
  sent: Sent | null,
  car: Partial<CarRecord>,
  { say }: Voice,
): FieldModel[] {
  return [
    field(sent, 'make', say('car-field.make'), { value: car.make, list: 'words-make' }),
    field(sent, 'model', say('car-field.model'), { value: car.model, list: 'words-model' }),
    field(sent, 'year', say('car-field.year'), { value: car.year, mode: 'numeric' }),
    field(sent, 'colour', say('car-field.colour'), { value: car.colour, list: 'words-colour' }),
  ];
}

/** What a top is made of, in the shop's own words. */
export function topWordFields(
  sent: Sent | null,
  top: Partial<TopRecord>,
  { say }: Voice,
): FieldModel[] {
  return [
    field(sent, 'coverName', say('top-field.cover-name'), {
      value: top.coverName,
      list: 'words-coverName',
    }),
    field(sent, 'coverColour', say('top-field.cover-colour'), {
      value: top.coverColour,
      list: 'words-coverColour',
    }),
    field(sent, 'makersReference', say('top-field.reference'), { value: top.makersReference }),
    field(sent, 'windowMade', say('top-field.window-made'), {
      value: top.windowMade,
      list: 'words-windowMade',
    }),
  ];
}

export function wordLists(words: OwnWords): WordList[] {
  return Object.entries(words).map(([name, known]) => ({ id: `words-${name}`, words: known }));
}

/** The words of a form; a field that was emptied says null. */
export function carWordsIn(form: SmallForm) {
  return {
    make: textIn(form, 'make') ?? null,
    model: textIn(form, 'model') ?? null,
    year: numberIn(form, 'year') ?? null,
    colour: textIn(form, 'colour') ?? null,
  };
}

export function topWordsIn(form: SmallForm) {
  return {
    coverName: textIn(form, 'coverName') ?? null,
    coverColour: textIn(form, 'coverColour') ?? null,
    makersReference: textIn(form, 'makersReference') ?? null,
    windowMade: textIn(form, 'windowMade') ?? null,
  };
}
