import { faultOf, saidOf } from '../../../domain/faults/fault-rows.ts';
import { forbidden } from '../../../domain/faults/fault.ts';
import { signOf } from '../../../domain/faults/signs.ts';
import type { CauseStanding, FaultAnswer } from '../../../domain/faults/find.ts';
import type { HeldAgainst } from '../../../domain/faults/held-against.ts';
import type { TopTraits } from '../../../domain/faults/top-traits.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { cautionLines, type CautionFacts } from '../frame/caution-words.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, formOf, spokenChoices, tick, type TickModel } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { heldWords } from './held-words.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { type PlanFacts, planSum, type StepModel, stepModel } from './plan-words.ts';
import { isLook, type PlaceModel, placeModels, traitFields } from './talk-places.ts';
import { carried, hrefWithout, type TalkState, TRAIT_FIELDS } from './talk-state.ts';

interface CauseFacts {
  readonly id: string;
  readonly name: string;
  readonly chance: number;
  readonly standing: CauseStanding;
  readonly fits: readonly string[];
  readonly against: readonly string[];
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
    readonly stays: readonly string[];
    readonly ifStuck: string | null;
    readonly warnings: readonly string[];
    readonly priors: FaultAnswer['priors'];
    readonly plan: PlanFacts;
  } & CautionFacts;
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
    readonly owner: { readonly accepted: FieldModel; readonly tell: TickModel | null } | null;
  } | null;
  readonly noTop: boolean;
  readonly cautions: readonly string[];
  readonly traits: readonly FieldModel[];
  readonly looksCarried: readonly { readonly name: string; readonly value: string }[];
  readonly places: readonly PlaceModel[];
  readonly because: string;
}

export interface TalkView {
  readonly records: boolean;
  /** A private owner looks, who has nobody to ask and nobody to write to. */
  readonly alone: boolean;
  /** Whether there is an owner who can be written to. */
  readonly tells: boolean;
  readonly once: string;
  readonly sent: Sent | null;
}

const TRAIT_NAMES: ReadonlySet<string> = new Set(TRAIT_FIELDS);

/** The talk: what was answered, the next question, what it comes to, and the work in its order. */
export function talkSheet(
  facts: TalkFacts,
  state: TalkState,
  { records, alone, tells, once, sent }: TalkView,
  voice: Voice,
): [Frame, FaultTalkModel] {
  const { say, tell } = voice;
  const { car, top, found } = facts;
  const path = car === null ? '/fault-finding' : `/cars/${car.id}/fault-finding`;
  const names = new Map(found.causes.map(({ id, name }) => [id, tell(name)]));
  const begun = found.causes.length > 0;
  const steps = found.plan.steps.map((step, i) =>
    stepModel(step, i, top?.pivots ?? [], sent, voice),
  );
  const taking = records && car !== null && top !== null && steps.length > 0;
  const accepted = choice(
    sent,
    'accepted',
    say('talk.accepted'),
    spokenChoices(voice, 'talk.accepted', ['no', 'yes']),
    { radio: true, value: 'no' },
  );
  const { stay, care } = shopStay(car?.registration ?? '', top?.mayMove, voice);
  const leaveIt = leaveWords(found, facts.traits.powered, voice);
  const stays = stay !== null || leaveIt !== null;
  const heading =
    car === null
      ? say('talk.heading')
      : say('talk.heading.car', { registration: car.registration });
  const model: FaultTalkModel = {
    stay,
    // What was just seen forbids what the record still allows.
    care: stays ? [] : care,
    stays,
    heading,
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
      word: say(`talk.answered.${answer}`),
      text: signWords(id, voice),
      href: hrefWithout(path, state, id),
    })),
    next:
      found.nextCheck === null
        ? null
        : {
            id: found.nextCheck.id,
            text: doWords(found.nextCheck, voice),
            result: tell(found.nextCheck.result),
            told: partsWords(found.nextCheck, names, voice),
            held: heldWords(facts.held.get(found.nextCheck.id), voice),
          },
    also: found.alsoLook.map(({ id, text, foundWith, fault }) => ({
      id,
      text: tell(text),
      result: signWords(id, voice),
      told: say('talk.comes-with', { found: tell(foundWith), fault: tell(fault) }),
      held: heldWords(facts.held.get(id), voice),
    })),
    leaveIt,
    ifStuck: found.ifStuck === null ? null : tell(found.ifStuck),
    contradictions: found.contradictions.map(tell),
    warnings: found.warnings.map(tell),
    causes: found.causes.map((cause) => causeModel(cause, voice)),
    ruledOut: found.ruledOut.map(({ name }) => tell(name)),
    unexplained: found.unexplained.map(({ text }) => tell(text)),
    mustNot: found.mustNot.map((what) => tell(forbidden(what))),
    plan: steps,
    planSum: planSum(found.plan, voice),
    take: taking
      ? {
          form: formOf(`${path}/work`, once, sent, [accepted]),
          carried: carried(state),
          owner: alone
            ? null
            : {
                accepted,
                tell: tells ? tick(sent, 'tell', say('talk.tell'), stays) : null,
              },
        }
      : null,
    noTop: car !== null && top === null,
    cautions: begun ? cautionLines(voice, found) : [],
    traits: car === null ? traitFields(facts.traits, voice) : [],
    looksCarried: carried(state, (id) => isLook(id) && state.answers.get(id) === 'yes').filter(
      ({ name }) => car !== null || !TRAIT_NAMES.has(name),
    ),
    places: placeModels(state, facts.traits, { begun, stays }, voice),
    because: say(found.priors === 'equal' ? 'talk.chances.equal' : 'talk.chances.own'),
  };
  return [{ lang: voice.language, title: say('talk.heading'), nav: { here: 'faults' } }, model];
}

function signWords(id: string, { tell }: Voice): string {
  return tell(signOf(id)?.text ?? id);
}

function leaveWords(
  { causes, stays }: TalkFacts['found'],
  powered: boolean | undefined,
  voice: Voice,
): string | null {
  const { say, tell, locale } = voice;
  const named = causes.filter(({ id }) => stays.includes(id));
  if (named.length === 0) return null;
  const words = named.map(({ name, standing }) =>
    say(standing === 'proven' ? 'talk.leave.found' : 'talk.leave.question', { fault: tell(name) }),
  );
  const motor = powered === undefined ? 'unknown' : powered ? 'powered' : 'hand';
  return say(`talk.leave.${motor}`, { faults: locale.list(words) });
}

function causeModel(
  { id, name, chance, standing, fits, against }: CauseFacts,
  voice: Voice,
): FaultTalkModel['causes'][number] {
  const { say, tell, locale } = voice;
  const fault = faultOf(id);
  const signs = (ids: readonly string[]) => locale.list(ids.map((one) => signWords(one, voice)));
  return {
    name: tell(name),
    said: tell(saidOf(id)),
    standing: standingWords(standing, chance, voice),
    shape: standing === 'proven' ? '■' : standing === 'clear' ? '◆' : '○',
    why: [
      ...(standing === 'proven'
        ? [say('talk.cause.proven', { sign: signWords(fault?.proof ?? '', voice) })]
        : []),
      tell(fault?.means ?? ''),
      ...(fits.length === 0 ? [] : [say('talk.cause.fits', { signs: signs(fits) })]),
      ...(against.length === 0 ? [] : [say('talk.cause.against', { signs: signs(against) })]),
    ].join('; '),
  };
}

function standingWords(standing: CauseFacts['standing'], chance: number, { say }: Voice): string {
  if (standing === 'proven') return say('talk.standing.proven');
  const tenth = Math.round(chance * 10);
  const key = tenth === 0 ? 'least' : tenth === 10 ? 'most' : 'about';
  const words = say(`talk.chance.${key}`, { tenth: String(tenth) });
  return say(standing === 'clear' ? 'talk.standing.clear' : 'talk.standing.question', {
    chance: words,
  });
}

/** The check in words; of what is only looked at or asked, the question says it all. */
function doWords(
  { id, text }: { readonly id: string; readonly text: string },
  { say, tell }: Voice,
): string {
  const sign = signOf(id);
  if (sign?.how !== undefined) return tell(text);
  return sign?.asked === true ? say('talk.ask') : '';
}

function partsWords(
  { minutes, separates }: NonNullable<TalkFacts['found']['nextCheck']>,
  names: ReadonlyMap<string, string>,
  { say, count, locale }: Voice,
): string {
  const named = (ids: readonly string[]) => locale.list(ids.flatMap((id) => names.get(id) ?? []));
  const yes = named(separates.yes);
  const no = named(separates.no);
  return [
    count('talk.minutes', minutes),
    ...(yes === '' ? [] : [say('talk.speaks.yes', { faults: yes })]),
    ...(no === '' ? [] : [say('talk.speaks.no', { faults: no })]),
  ].join(' ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'fault-talk': FaultTalkModel;
  }
}
