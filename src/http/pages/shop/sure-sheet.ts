import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import type { Effects, UnsentLetterRow } from '../../../usecases/letters/try-out.ts';
import type { Frame } from '../frame/frame.ts';

/** The field by which a form says that its sender has read what it will do. */
export const SURE = 'sure';

/** What a deed will do, asked before it is done. */
export interface SureModel {
  readonly heading: string;
  readonly words: readonly string[];
  readonly letters: readonly string[];
  readonly action: string;
  readonly fields: readonly { readonly name: string; readonly value: string }[];
  readonly button: string;
  readonly back: string;
}

/** The page before a deed that writes to owners or takes something away. */
export function sureSheet(
  {
    heading,
    button,
    words,
    back,
  }: {
    readonly heading: string;
    readonly button: string;
    readonly words: readonly string[];
    readonly back: string;
  },
  { cancelled, written }: Effects,
  form: { readonly action: string; readonly fields: Readonly<Record<string, string>> },
): [Frame, SureModel] {
  const again = written.filter((letter) => cancelled.some((one) => isAlike(one, letter)));
  const letters = [
    ...again.map((letter) => `Written anew: ${letterInWords(letter)}.`),
    ...cancelled
      .filter((letter) => !again.some((one) => isAlike(one, letter)))
      .map((letter) => `Not sent any more: ${letterInWords(letter)}.`),
    ...written
      .filter((letter) => !again.includes(letter))
      .map((letter) => `Will be sent: ${letterInWords(letter)}.`),
  ];
  const fields = Object.entries({ ...form.fields, [SURE]: 'yes' });
  const model: SureModel = {
    heading,
    words,
    letters: letters.length === 0 ? ['No letter is touched by it.'] : letters,
    action: form.action,
    fields: fields.map(([name, value]) => ({ name, value })),
    button,
    back,
  };
  return [{ lang: 'en', title: heading, nav: { here: '' } }, model];
}

function isAlike(one: UnsentLetterRow, other: UnsentLetterRow): boolean {
  return one.kind === other.kind && one.toName === other.toName;
}

function letterInWords({ kind, toName }: UnsentLetterRow): string {
  return `${LETTER_WORDS[kind]}, to ${toName}`;
}

const LETTER_WORDS: Readonly<Record<LetterKind, string>> = {
  'lubrication-ahead': 'the letter that oil is due in some weeks',
  'lubrication-due': 'the letter that oil is due',
  'lubrication-late': 'the letter that oil is late',
  'look-due': 'the letter that joints are to be looked at again',
  'look-late': 'the letter that the look at joints is late',
  'folded-nearing': 'the alarm that the limit comes near',
  'folded-over': 'the alarm that the limit is reached',
  'folded-still': 'the alarm that the top is folded still',
  'must-stay': 'word that the top must stay as it is',
  'care-note': 'advice on care',
  'visit-offered': 'the offer of weeks for a visit',
  'visit-booked': 'word of a booked visit',
  'visit-moved': 'word that a visit is moved',
  'visit-called-off': 'word that a visit is called off',
  'visit-report': 'the report of a visit',
  'warranty-ending': 'word of a warranty that ends',
  'care-day-asked': 'the question which time of the care day suits',
  estimate: 'the estimate, with a link to answer it',
};

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly sure: SureModel;
  }
}
