import type { Voice } from '../../../views/words/voice.ts';

/** A form that came back to be put right: what was typed, and what to do about it, field by field. */
export interface Sent {
  readonly typed: Readonly<Record<string, string>>;
  readonly faults: readonly SentFault[];
  /** Somebody else changed the record meanwhile: both versions are shown. */
  readonly meanwhile?: boolean;
}

export interface SentFault {
  /** Name of the field; null where it is about the form as a whole. */
  readonly field: string | null;
  readonly words: string;
}

/** What a form has besides its fields. */
export interface FormModel {
  readonly action: string;
  /** Under which the form is recorded once, however often it is sent. */
  readonly once: string;
  /** What is wrong with it; empty where nobody has sent it yet. */
  readonly wrong: readonly { readonly href: string | null; readonly words: string }[];
}

export interface ChoiceModel {
  readonly value: string;
  readonly words: string;
  readonly chosen: boolean;
}

/** One field of a form. */
export interface FieldModel {
  readonly name: string;
  /** Its name, unless a page has several forms with a field of this name. */
  readonly id: string;
  readonly label: string;
  /** What it is called where it does not stand beside its label. */
  readonly called: string;
  readonly kind: 'input' | 'area' | 'select' | 'radio';
  readonly type: string;
  readonly mode: string;
  readonly value: string;
  readonly hint: string;
  readonly fault: string;
  /** What stands in the record now, empty for nothing, where somebody else changed it meanwhile; else null. */
  readonly stands: string | null;
  readonly needed: boolean;
  readonly complete: string;
  /** Id of a list of proposals; empty where there is none. */
  readonly list: string;
  readonly choices: readonly ChoiceModel[];
  /** Beside a field for a day; null beside all others. */
  readonly picker: Picker | null;
}

/** What a field holds so that a script can offer a calendar beside it. */
interface Picker {
  readonly kind: 'day' | 'moment';
  /** What the button is called; its field follows in a name that is read out. */
  readonly words: string;
  /** How days are written: a language tag. */
  readonly tag: string;
  /** What the calendar begins with, as ISO 8601 has it; empty for today. */
  readonly begin: string;
}

export interface TickModel {
  readonly name: string;
  readonly id: string;
  readonly label: string;
  readonly ticked: boolean;
}

type Given = Partial<
  Pick<FieldModel, 'id' | 'type' | 'mode' | 'hint' | 'needed' | 'complete' | 'list'>
> & {
  readonly value?: string | number | null | undefined;
  readonly area?: boolean;
};

/** A field as it was typed, else with the value it begins with. */
export function field(
  sent: Sent | null,
  name: string,
  label: string,
  given: Given = {},
): FieldModel {
  const { value, area = false, ...rest } = given;
  return {
    name,
    id: idOf(name),
    label,
    called: label,
    kind: area ? 'area' : 'input',
    type: 'text',
    mode: 'text',
    value: typedIn(sent, name) ?? String(value ?? ''),
    hint: '',
    fault: faultAt(sent, name),
    stands: standsOf(sent, name, String(value ?? '')),
    needed: false,
    complete: 'off',
    list: '',
    choices: [],
    picker: null,
    ...rest,
  };
}

/** A field with a closed list of answers, each as a pair of value and words. */
export function choice(
  sent: Sent | null,
  name: string,
  label: string,
  choices: readonly (readonly [value: string, words: string])[],
  given: Given & { readonly radio?: boolean } = {},
): FieldModel {
  const { radio = false, ...rest } = given;
  const whole = field(sent, name, label, rest);
  // The empty choice is no sign that somebody else changed the field.
  const standing =
    (whole.stands ?? '') === '' ? undefined : choices.find(([value]) => value === whole.stands);
  return {
    ...whole,
    stands: standing?.[1] ?? whole.stands,
    kind: radio ? 'radio' : 'select',
    choices: choices.map(([value, words]) => ({ value, words, chosen: value === whole.value })),
  };
}

/** A tick: a browser sends it only where it is set, so a form that was sent has said all. */
export function tick(sent: Sent | null, name: string, label: string, first: boolean): TickModel {
  return {
    name,
    id: idOf(name),
    label,
    ticked: sent === null ? first : typedIn(sent, name) !== null,
  };
}

/** The id of a field: its name, as a selector can take it (a name may point into a list). */
function idOf(name: string): string {
  return name.replaceAll('/', '-');
}

/** The form around these fields, with what is wrong named by field. */
export function formOf(
  action: string,
  once: string,
  sent: Sent | null,
  fields: readonly FieldModel[],
): FormModel {
  return {
    action,
    once,
    wrong: (sent?.faults ?? []).map((one) => {
      const at = fields.find(({ name }) => name === one.field);
      return at === undefined
        ? { href: null, words: one.words }
        : { href: `#${at.id}`, words: `${at.called}: ${one.words}` };
    }),
  };
}

/** What was typed into a field of a form that was sent; null where it was not there. */
export function typedIn(sent: Sent | null, name: string): string | null {
  return sent !== null && Object.hasOwn(sent.typed, name) ? (sent.typed[name] ?? null) : null;
}

function standsOf(sent: Sent | null, name: string, value: string): string | null {
  if (sent?.meanwhile !== true) return null;
  const typed = typedIn(sent, name);
  return typed === null || typed === value ? null : value;
}

function faultAt(sent: Sent | null, name: string): string {
  return (sent?.faults ?? [])
    .filter((one) => one.field === name)
    .map(({ words }) => words)
    .join(' ');
}

/** The values of a closed list with their words, `window.glass-bonded` for the head "window". */
export function spokenChoices(
  { say }: Voice,
  head: string,
  values: readonly string[],
): [string, string][] {
  return values.map((value) => [value, say(`${head}.${value}`)]);
}

/** Words for a value of a closed list: "glass-bonded" as "glass bonded". */
export function plainChoices(values: readonly string[]): [string, string][] {
  return values.map((value) => [value, value.replaceAll('-', ' ')]);
}
