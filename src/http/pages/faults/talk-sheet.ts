import { voiceFor } from '../../../views/words/voice.ts';
import { FAULTS, saidOf } from '../../../domain/faults/fault-rows.ts';
import { PLACES, type Place, type Sign, signOf, SIGNS } from '../../../domain/faults/signs.ts';
import type { HeldAgainst } from '../../../domain/faults/held-against.ts';
import { canHave, type TopTraits } from '../../../domain/faults/top-traits.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, formOf, tick, type TickModel } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import {
  carried,
  hrefWithout,
  type SignAnswer,
  type TalkState,
  TRAIT_FIELDS,
} from './talk-state.ts';

interface CauseFacts {
  readonly id: string;
  readonly name: string;
  readonly chance: number;
  readonly standing: 'proven' | 'clear' | 'in question';
  readonly why: string;
}

export interface PartFacts {
  readonly label: string;
  readonly quantity: number;
}

export interface StepFacts {
  readonly fault: string;
  readonly name: string;
  readonly work: string;
  readonly mustNot: string;
  readonly proveFirst: string | null;
  readonly also: readonly { readonly name: string }[];
  readonly byJoint: boolean;
  readonly hours: number;
  readonly parts: readonly PartFacts[];
}

export interface PlanFacts {
  readonly steps: readonly StepFacts[];
  readonly later: readonly { readonly name: string }[];
  readonly strippingHours: number;
  readonly hours: number;
}

export interface TalkFacts {
  readonly car: { readonly id: string; readonly registration: string } | null;
  /** The top on the car, or null without a car or where none is recorded. */
  readonly top: {
    readonly id: string;
    readonly mayMove: MayMove;
    readonly pivots: readonly { readonly code: string }[];
  } | null;
  /** What the checks that are asked for are held against, by their signs. */
  readonly held: ReadonlyMap<string, HeldAgainst>;
  /** What the top is known to be, by its record or by what was said. */
  readonly traits: TopTraits;
  readonly found: {
    readonly causes: readonly CauseFacts[];
    readonly ruledOut: readonly { readonly name: string }[];
    readonly unexplained: readonly { readonly text: string }[];
    readonly contradictions: readonly string[];
    readonly nextCheck: {
      readonly id: string;
      readonly text: string;
      readonly result: string;
      readonly minutes: number;
      readonly separates: { readonly yes: readonly string[]; readonly no: readonly string[] };
    } | null;
    readonly alsoLook: readonly {
      readonly id: string;
      readonly text: string;
      readonly foundWith: string;
      readonly fault: string;
    }[];
    readonly mustNot: readonly string[];
    readonly leaveIt: string | null;
    readonly ifStuck: string | null;
    readonly warnings: readonly string[];
    readonly priors: 'equal' | 'own findings';
    readonly plan: PlanFacts;
    readonly cautions: readonly {
      readonly hazard: { readonly en: string };
      readonly show: { readonly en: string };
    }[];
    readonly first: { readonly en: string };
  };
}

/** A question with its answers as buttons. */
interface QuestionModel {
  readonly id: string;
  /** What to do for it; empty where it is enough to look. */
  readonly text: string;
  readonly result: string;
  readonly told: string;
  /** The limit, and what was read last on this car. */
  readonly held: readonly string[];
}

export interface FaultTalkModel extends ShopStay {
  readonly heading: string;
  readonly carHref: string | null;
  readonly path: string;
  readonly begun: boolean;
  /** What was wrong with the work that was to be put into the visit. */
  readonly refused: FormModel;
  readonly carried: readonly { readonly name: string; readonly value: string }[];
  readonly answers: readonly {
    readonly word: string;
    readonly text: string;
    readonly href: string;
  }[];
  readonly next: QuestionModel | null;
  readonly also: readonly QuestionModel[];
  /** The top must stay, by its record or by what was seen. */
  readonly stays: boolean;
  readonly leaveIt: string | null;
  readonly ifStuck: string | null;
  readonly contradictions: readonly string[];
  readonly warnings: readonly string[];
  readonly causes: readonly {
    readonly name: string;
    readonly standing: string;
    readonly shape: string;
    readonly why: string;
    readonly said: string;
  }[];
  readonly ruledOut: readonly string[];
  readonly unexplained: readonly string[];
  readonly mustNot: readonly string[];
  readonly plan: readonly StepModel[];
  readonly planSum: readonly string[];
  /** The form that takes the plan over; null where nobody may, or no car is meant. */
  readonly take: {
    readonly form: FormModel;
    readonly carried: readonly { readonly name: string; readonly value: string }[];
    /** What the owner says, and whether to write; null for an owner who keeps the records alone. */
    readonly owner: { readonly accepted: FieldModel; readonly tell: TickModel } | null;
  } | null;
  readonly noTop: boolean;
  readonly cautions: readonly string[];
  readonly traits: readonly FieldModel[];
  readonly looksCarried: readonly { readonly name: string; readonly value: string }[];
  readonly places: readonly {
    readonly name: string;
    readonly open: boolean;
    readonly count: string;
    readonly ticks: readonly TickModel[];
  }[];
  readonly because: string;
}

interface StepModel {
  readonly number: number;
  readonly name: string;
  readonly work: string;
  readonly said: string;
  readonly mustNot: string;
  readonly proveFirst: string | null;
  readonly also: string;
  readonly hours: string;
  readonly parts: string;
  readonly take: TickModel;
  readonly joints: readonly TickModel[];
  /** Where they are, as an anchor, and that one has to be said. */
  readonly jointsId: string;
  readonly jointsFault: string;
}

export interface TalkLooking {
  readonly records: boolean;
  /** A private owner looks, who has nobody to ask and nobody to write to. */
  readonly alone: boolean;
  readonly once: string;
  readonly sent: Sent | null;
}

const EN = localeOf('en-GB');

const PLACE_WORDS: Readonly<Record<Place, string>> = {
  'walk-round': 'Walking round, top up',
  inside: 'Inside',
  unlatch: 'At the latches',
  'half-open': 'The joints, half open',
  folded: 'Folded',
  tailgate: 'Boot and its lid',
  drains: 'Drains',
  hydraulics: 'Motor and hydraulics',
};
// Nobody opens, unlatches or folds a top that must stay to look at it.
const STANDING_WORDS: Readonly<Partial<Record<Place, string>>> = {
  unlatch: 'At the latches, only if it is unlatched already',
  'half-open': 'The joints, only if it stands half open already',
  folded: 'Folded, only if it stands so already',
};
const ANSWER_WORDS: Readonly<Record<SignAnswer, string>> = {
  yes: 'Seen',
  no: 'Not found',
  skip: 'Left for later',
};

/** The talk: what was answered, the next question, what it comes to, and the work in its order. */
export function talkSheet(
  facts: TalkFacts,
  state: TalkState,
  { records, alone, once, sent }: TalkLooking,
): [Frame, FaultTalkModel] {
  const { car, top, found } = facts;
  const path = car === null ? '/fault-finding' : `/cars/${car.id}/fault-finding`;
  const names = new Map(found.causes.map(({ id, name }) => [id, name]));
  const begun = found.causes.length > 0;
  const steps = found.plan.steps.map((step, i) => stepModel(step, i, top?.pivots ?? [], sent));
  const taking = records && car !== null && top !== null && steps.length > 0;
  const accepted = choice(sent, 'accepted', 'What the owner says', ACCEPTED, {
    radio: true,
    value: 'no',
  });
  const { stay, care } = shopStay(car?.registration ?? '', top?.mayMove, voiceFor('en'));
  const stays = stay !== null || found.leaveIt !== null;
  const model: FaultTalkModel = {
    stay,
    // What was just seen forbids what the record still allows.
    care: stays ? [] : care,
    stays,
    heading: car === null ? 'Find the fault' : `Find the fault: ${car.registration}`,
    carHref: car === null ? null : `/cars/${car.id}`,
    path,
    begun,
    refused: {
      ...formOf(`${path}/work`, once, sent, []),
      wrong: (sent?.faults ?? []).map(({ field: at, words }) => ({
        href: at === null ? null : `#${at.replace('/', '-')}`,
        words,
      })),
    },
    carried: carried(state),
    answers: [...state.answers].map(([id, answer]) => ({
      word: ANSWER_WORDS[answer],
      text: signOf(id)?.text ?? id,
      href: hrefWithout(path, state, id),
    })),
    next:
      found.nextCheck === null
        ? null
        : {
            ...found.nextCheck,
            text: doWords(found.nextCheck),
            told: partsWords(found.nextCheck, names),
            held: heldWords(facts.held.get(found.nextCheck.id)),
          },
    also: found.alsoLook.map(({ id, text, foundWith, fault }) => ({
      id,
      text,
      result: signOf(id)?.text ?? '',
      told: `Often comes with ${foundWith}: ${fault}.`,
      held: heldWords(facts.held.get(id)),
    })),
    leaveIt: found.leaveIt,
    ifStuck: found.ifStuck,
    contradictions: found.contradictions,
    warnings: found.warnings,
    causes: found.causes.map(({ id, name, chance, standing, why }) => ({
      name,
      said: saidOf(id),
      standing: standingWords(standing, chance),
      shape: standing === 'proven' ? '■' : standing === 'clear' ? '◆' : '○',
      why,
    })),
    ruledOut: found.ruledOut.map(({ name }) => name),
    unexplained: found.unexplained.map(({ text }) => text),
    mustNot: found.mustNot,
    plan: steps,
    planSum: planSum(found.plan),
    take: taking
      ? {
          form: formOf(`${path}/work`, once, sent, [accepted]),
          carried: carried(state),
          owner: alone
            ? null
            : {
                accepted,
                tell: tick(sent, 'tell', 'Write the owner a report of what was found', stays),
              },
        }
      : null,
    noTop: car !== null && top === null,
    cautions: begun
      ? [found.first.en, ...found.cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)]
      : [],
    traits: car === null ? traitFields(facts.traits) : [],
    looksCarried: carried(state, (id) => isLook(id) && state.answers.get(id) === 'yes').filter(
      ({ name }) => car !== null || !TRAIT_NAMES.has(name),
    ),
    places: placeModels(state, facts.traits, begun, stays),
    because:
      found.priors === 'equal'
        ? 'Chances are shop rules: every fault starts alike, and nobody has counted how often each shows itself.'
        : 'Chances start from your own findings; how often each fault shows itself is a shop rule.',
  };
  return [{ lang: 'en', title: 'Find the fault', nav: { here: 'faults' } }, model];
}

const TRAIT_NAMES: ReadonlySet<string> = new Set(TRAIT_FIELDS.map(({ name }) => name));
const ACCEPTED = [
  ['no', 'Not asked yet: it is only advised'],
  ['yes', 'Has agreed: the parts go on the list to order'],
] as const;

function standingWords(standing: CauseFacts['standing'], chance: number): string {
  if (standing === 'proven') return 'proven';
  const tenth = Math.round(chance * 10);
  const words =
    tenth === 0 ? 'less than 1 in 10' : tenth === 10 ? 'more than 9 in 10' : `about ${tenth} in 10`;
  return standing === 'clear' ? `stands clear, ${words}` : `in question, ${words}`;
}

/** The check in words; of what is only looked at or asked, the question says it all. */
function doWords({ id, text }: { readonly id: string; readonly text: string }): string {
  const sign = signOf(id);
  if (sign?.how !== undefined) return text;
  return sign?.asked === true ? 'ask the owner' : '';
}

function heldWords(held: HeldAgainst | undefined): string[] {
  return held === undefined ? [] : [held.limit, held.last].filter((words) => words !== '');
}

function partsWords(
  { minutes, separates }: NonNullable<TalkFacts['found']['nextCheck']>,
  names: ReadonlyMap<string, string>,
): string {
  const named = (ids: readonly string[]) => EN.list(ids.flatMap((id) => names.get(id) ?? []));
  const yes = named(separates.yes);
  const no = named(separates.no);
  return [
    `${minutes} ${minutes === 1 ? 'minute' : 'minutes'} (shop rule).`,
    ...(yes === '' ? [] : [`Yes speaks for: ${yes}.`]),
    ...(no === '' ? [] : [`No speaks for: ${no}.`]),
  ].join(' ');
}

function stepModel(
  step: StepFacts,
  i: number,
  pivots: readonly { readonly code: string }[],
  sent: Sent | null,
): StepModel {
  const { fault, name, work, mustNot, proveFirst, also, parts } = step;
  return {
    number: i + 1,
    name,
    work,
    said: saidOf(fault),
    mustNot,
    proveFirst,
    also: EN.list(also.map((one) => one.name)),
    hours: hoursWords(step.hours),
    parts: partWords(parts),
    take: tick(sent, `take/${fault}`, 'Take this over', true),
    joints: step.byJoint
      ? pivots.map(({ code }) => tick(sent, `at/${fault}/${code}`, code, false))
      : [],
    jointsId: `at-${fault}`,
    jointsFault: (sent?.faults ?? []).find((one) => one.field === `at/${fault}`)?.words ?? '',
  };
}

export function planSum({ hours, strippingHours, steps, later }: PlanFacts): string[] {
  const waits =
    later.length === 0
      ? []
      : [`Waits until the top may be moved again: ${EN.list(later.map(({ name }) => name))}.`];
  if (steps.length === 0) return waits;
  return [
    `Together ${hoursWords(hours)} of work (shop rule).`,
    ...(strippingHours === 0
      ? []
      : [`Of that ${hoursWords(strippingHours)} to take the cover off and put it on again, once.`]),
    ...waits,
  ];
}

/** "2 h 30 min". */
export function hoursWords(hours: number): string {
  const minutes = Math.round(hours * 60);
  const whole = Math.floor(minutes / 60);
  const rest = minutes % 60;
  return [
    ...(whole > 0 ? [`${whole} h`] : []),
    ...(rest > 0 || whole === 0 ? [`${rest} min`] : []),
  ].join(' ');
}

export function partWords(parts: readonly PartFacts[]): string {
  return EN.list(
    parts.map(({ label, quantity }) => (quantity === 1 ? label : `${quantity} × ${label}`)),
  );
}

function traitFields(top: TopTraits): FieldModel[] {
  const value = {
    material: top.material,
    window: top.window,
    powered: top.powered === undefined ? undefined : top.powered ? 'yes' : 'no',
  };
  return TRAIT_FIELDS.map(({ name, label, choices }) =>
    choice(null, name, label, choices, { value: value[name] ?? '' }),
  );
}

function isLook(id: string): boolean {
  return signOf(id)?.how === undefined;
}

function placeModels(
  state: TalkState,
  top: TopTraits,
  begun: boolean,
  stays: boolean,
): FaultTalkModel['places'] {
  return PLACES.flatMap((place) => {
    const own = SIGNS.filter(
      (sign) => sign.place === place && isLook(sign.id) && canShow(sign, top) && isOpen(sign.id),
    );
    if (own.length === 0) return [];
    const seen = own.filter(({ id }) => state.answers.get(id) === 'yes').length;
    return [
      {
        name: (stays ? STANDING_WORDS[place] : undefined) ?? PLACE_WORDS[place],
        open: !begun && place === 'walk-round',
        count: seen === 0 ? '' : `${seen} ticked`,
        ticks: own.map(({ id, text }) => ({
          name: id,
          id,
          label: text,
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

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'fault-talk': FaultTalkModel;
  }
}
