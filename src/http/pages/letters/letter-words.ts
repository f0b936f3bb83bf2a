import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { LetterState } from '../../../usecases/letters/read-letters.ts';

/** What a kind of letter is about, in the words of a shop's desk. */
export function kindWords({ say }: Voice, kind: LetterKind): string {
  return say(`letter.kind.${kind}`);
}

/** How a letter stands, as a shape and in words; one in the mail tray reached nobody. */
export function standingOf(
  { say }: Voice,
  state: LetterState,
  inTray: boolean,
): { readonly mark: string; readonly words: string } {
  return inTray && state === 'delivered'
    ? { mark: '□', words: say('letter.state.in-tray') }
    : { mark: STATE_MARKS[state], words: say(`letter.state.${state}`) };
}

const STATE_MARKS: Readonly<Record<LetterState, string>> = {
  planned: '○',
  sending: '◐',
  delivered: '●',
  failed: '■',
  unknown: '◆',
  cancelled: '—',
};
