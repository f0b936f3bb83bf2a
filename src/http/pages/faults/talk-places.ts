import { FAULTS } from '../../../domain/faults/fault-rows.ts';
import { PLACES, type Place, type Sign, signOf, SIGNS } from '../../../domain/faults/signs.ts';
import { canHave, type TopTraits } from '../../../domain/faults/top-traits.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel } from '../frame/form.ts';
import { choice, type TickModel } from '../frame/form.ts';
import { type TalkState, TRAIT_FIELDS, traitChoices } from './talk-state.ts';

/** A place on the car with what can be seen there. */
export interface PlaceModel {
  readonly name: string;
  readonly open: boolean;
  readonly count: string;
  readonly ticks: readonly TickModel[];
}

// Nobody opens, unlatches or folds a top that must stay to look at it.
const NOT_OPENED: ReadonlySet<Place> = new Set(['unlatch', 'half-open', 'folded']);

/** Questions after what the top is, where no record says. */
export function traitFields(top: TopTraits, voice: Voice): FieldModel[] {
  const value = {
    material: top.material,
    window: top.window,
    powered: top.powered === undefined ? undefined : top.powered ? 'yes' : 'no',
  };
  return TRAIT_FIELDS.map((name) =>
    choice(null, name, voice.say(`talk.trait.${name}`), traitChoices(name, voice), {
      value: value[name] ?? '',
    }),
  );
}

/** Whether a sign is seen at a look, without a check. */
export function isLook(id: string): boolean {
  return signOf(id)?.how === undefined;
}

/** The places of an inspection in the order of the walk, each with what may be ticked there. */
export function placeModels(
  state: TalkState,
  top: TopTraits,
  { begun, stays }: { readonly begun: boolean; readonly stays: boolean },
  { say, tell, count }: Voice,
): readonly PlaceModel[] {
  return PLACES.flatMap((place) => {
    const own = SIGNS.filter(
      (sign) => sign.place === place && isLook(sign.id) && canShow(sign, top) && isOpen(sign.id),
    );
    if (own.length === 0) return [];
    const seen = own.filter(({ id }) => state.answers.get(id) === 'yes').length;
    return [
      {
        name: say(`talk.place.${place}${stays && NOT_OPENED.has(place) ? '.standing' : ''}`),
        open: !begun && place === 'walk-round',
        count: seen === 0 ? '' : count('talk.ticked', seen),
        ticks: own.map(({ id, text }) => ({
          name: id,
          id,
          label: tell(text),
          ticked: state.answers.get(id) === 'yes',
        })),
      },
    ];
  });

  function isOpen(id: string): boolean {
    const answer = state.answers.get(id);
    return answer === undefined || answer === 'yes';
  }
}

/** Whether any fault that such a top can have shows the sign. */
function canShow({ id, place }: Sign, top: TopTraits): boolean {
  if (place === 'hydraulics' && top.powered === false) return false;
  return FAULTS.some(
    (fault) => canHave(fault, top) && (fault.sign === id || fault.signs[id] !== undefined),
  );
}
