import type { Effects, UnsentLetterRow } from '../../../usecases/letters/try-out.ts';
import type { Voice } from '../../../views/words/voice.ts';
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
  { say, language }: Voice,
): [Frame, SureModel] {
  const told = (key: string, { kind, toName }: UnsentLetterRow) =>
    say(key, { letter: say('sure.letter', { what: say(`sure.letter.${kind}`), name: toName }) });
  const again = written.filter((letter) => cancelled.some((one) => isAlike(one, letter)));
  const letters = [
    ...again.map((letter) => told('sure.again', letter)),
    ...cancelled
      .filter((letter) => !again.some((one) => isAlike(one, letter)))
      .map((letter) => told(letter.roundWritesAnew ? 'sure.round' : 'sure.cancelled', letter)),
    ...written
      .filter((letter) => !again.includes(letter))
      .map((letter) => told('sure.written', letter)),
  ];
  const fields = Object.entries({ ...form.fields, [SURE]: 'yes' });
  const model: SureModel = {
    heading,
    words,
    letters: letters.length === 0 ? [say('sure.none')] : letters,
    action: form.action,
    fields: fields.map(([name, value]) => ({ name, value })),
    button,
    back,
  };
  return [{ lang: language, title: heading, nav: { here: '' } }, model];
}

function isAlike(one: UnsentLetterRow, other: UnsentLetterRow): boolean {
  return one.kind === other.kind && one.toName === other.toName;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly sure: SureModel;
  }
}
