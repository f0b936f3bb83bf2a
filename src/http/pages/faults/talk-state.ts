import { SIGNS } from '../../../domain/faults/signs.ts';
import type { TopTraits } from '../../../domain/faults/top-traits.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { spokenChoices } from '../frame/form.ts';

/** What was answered to one sign or check: it is so, it is not, or it cannot be looked for now. */
const ANSWERS = ['yes', 'no', 'skip'] as const;
export type SignAnswer = (typeof ANSWERS)[number];

/** A talk stands whole in its address: nothing is kept, and stepping back steps back. */
export interface TalkState {
  readonly answers: ReadonlyMap<string, SignAnswer>;
  readonly top: TopTraits;
}

/** Fields for what is known of a top that no record describes. */
export const TRAIT_FIELDS = ['material', 'window', 'powered'] as const;

const TRAIT_VALUES = {
  material: ['vinyl', 'cloth'],
  window: ['glass', 'glass-bonded', 'clear-vinyl'],
  powered: ['no', 'yes'],
} as const;

/** What may be answered to such a field; the first says nothing. */
export function traitChoices(
  field: (typeof TRAIT_FIELDS)[number],
  voice: Voice,
): [string, string][] {
  return [
    ['', voice.say('talk.trait.not-said')],
    ...spokenChoices(voice, `talk.${field}`, TRAIT_VALUES[field]),
  ];
}

/** Reads the talk from an address or a form; what is no answer is left out. */
export function talkIn(valueOf: (name: string) => string | undefined): TalkState {
  const answers = new Map<string, SignAnswer>();
  for (const { id } of SIGNS) {
    const answer = ANSWERS.find((known) => known === valueOf(id));
    if (answer !== undefined) answers.set(id, answer);
  }
  const material = TRAIT_VALUES.material.find((one) => one === valueOf('material'));
  const window = TRAIT_VALUES.window.find((one) => one === valueOf('window'));
  const powered = { yes: true, no: false }[valueOf('powered') ?? ''];
  return { answers, top: { material, window, powered } };
}

/** The talk as the rule takes it. */
export function questionIn({ answers, top }: TalkState) {
  const answered = (word: SignAnswer) =>
    [...answers].flatMap(([id, answer]) => (answer === word ? [id] : []));
  return { seen: answered('yes'), ruledOut: answered('no'), skipped: answered('skip'), top };
}

/** The fields that carry the talk on, but for some signs that the form asks about itself. */
export function carried(
  { answers, top }: TalkState,
  except: (id: string) => boolean = () => false,
): { name: string; value: string }[] {
  return [
    ...[...answers]
      .filter(([id]) => !except(id))
      .map(([name, value]) => ({ name, value: value as string })),
    ...(top.material === undefined ? [] : [{ name: 'material', value: top.material }]),
    ...(top.window === undefined ? [] : [{ name: 'window', value: top.window }]),
    ...(top.powered === undefined ? [] : [{ name: 'powered', value: top.powered ? 'yes' : 'no' }]),
  ];
}

/** The address of the talk without one answer. */
export function hrefWithout(path: string, state: TalkState, id: string): string {
  const fields = carried(state, (other) => other === id);
  const pairs = fields.map(({ name, value }): [string, string] => [name, value]);
  const query = new URLSearchParams(pairs).toString();
  return query === '' ? path : `${path}?${query}`;
}
