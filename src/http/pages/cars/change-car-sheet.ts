import type { OwnWords } from '../../../usecases/cars/earlier-words.ts';
import type { CarRecord } from '../../../usecases/own/car-records.ts';
import type { OrganisationRecord } from '../../../usecases/organisations/organisations.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import { INSTEAD, type Keeps } from '../../../usecases/cars/remove-car.ts';
import type { LastSale } from '../../../usecases/owners/take-sale-back.ts';
import { ownerFields } from '../owners/owner-desk-sheet.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { field, formOf, tick } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { carFields } from './new-car-sheet.ts';
import type { WordList } from './word-fields.ts';
import { wordLists } from './word-fields.ts';

export interface ChangeCarModel {
  readonly registration: string;
  readonly carHref: string;
  readonly version: string;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
  /** That its registration is known and it is another car; null before anything was refused. */
  readonly another: TickModel | null;
  /** Its owner was erased: giving it to another is what it waits for. */
  readonly nobody: boolean;
  readonly sale: FormModel;
  /** The same of the car that is sold, to an owner who has one of its registration. */
  readonly anotherSold: TickModel | null;
  readonly buyer: readonly FieldModel[];
  /** By which the last sale is taken back; null where there was none. */
  readonly back: { readonly form: FormModel; readonly words: string } | null;
  /** By which a car that was typed in by mistake goes; null for whoever may not. */
  readonly remove: {
    readonly form: FormModel;
    /** What keeps it, and what to do instead; it can go where there is nothing. */
    readonly keeps: readonly string[];
  } | null;
  readonly lists: readonly WordList[];
}

/** The forms of a page about a car, of which one may have come back. */
export interface CameBack {
  readonly form: 'change' | 'sale' | 'back' | 'remove';
  readonly sent: Sent;
}

/** A car put right, or given to its new owner. */
export function changeCarSheet(
  {
    car,
    organisation,
    words,
    sale,
    keeps,
    erased,
  }: {
    readonly car: CarRecord;
    readonly organisation: Pick<OrganisationRecord, 'timeZone' | 'language'>;
    readonly words: OwnWords;
    readonly sale: LastSale | null;
    readonly keeps: readonly Keeps[] | null;
    readonly erased: boolean;
  },
  once: string,
  came: CameBack | null,
  voice: Voice,
): [Frame, ChangeCarModel] {
  const sentTo = (form: CameBack['form']) => (came?.form === form ? came.sent : null);
  const fields = [
    ...carFields(sentTo('change'), car, voice),
    field(sentTo('change'), 'timeZone', voice.say('car-field.zone'), { value: car.timeZone }),
  ];
  const { timeZone, language } = organisation;
  const buyer = ownerFields(
    sentTo('sale'),
    { timeZone, language },
    voice,
    (name) => `owner/${name}`,
  );
  const model: ChangeCarModel = {
    registration: car.registration,
    carHref: `/cars/${car.id}`,
    version: String(car.version),
    form: formOf(`/cars/${car.id}/change`, once, sentTo('change'), fields),
    fields,
    another:
      sentTo('change') === null
        ? null
        : tick(sentTo('change'), 'another', voice.say('new-car.another'), false),
    anotherSold:
      sentTo('sale') === null
        ? null
        : tick(sentTo('sale'), 'another', voice.say('change-car.sold.another'), false),
    nobody: erased,
    sale: formOf(`/cars/${car.id}/sold`, once, sentTo('sale'), buyer),
    buyer,
    back: sale && {
      form: formOf(`/cars/${car.id}/sold/back`, once, sentTo('back'), []),
      words: voice.say('change-car.back.lead', {
        seller: sale.seller.name,
        day: voice.day(dayIn(timeZone, sale.at)),
      }),
    },
    remove: keeps && {
      form: formOf(`/cars/${car.id}/remove`, once, sentTo('remove'), []),
      keeps: keeps.map((keep) => voice.tell(INSTEAD[keep])),
    },
    lists: wordLists(words),
  };
  const title = voice.say('change-car.title');
  return [{ lang: voice.language, title, nav: { here: 'tops' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'change-car': ChangeCarModel;
  }
}
