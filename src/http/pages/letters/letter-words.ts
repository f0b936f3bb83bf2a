import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import type { LetterState } from '../../../usecases/letters/read-letters.ts';

/** What each kind of letter is about, in the words of a shop's desk. */
export const KIND_WORDS: Readonly<Record<LetterKind, string>> = {
  'lubrication-ahead': 'oil is due in four weeks',
  'lubrication-due': 'oil is due',
  'lubrication-late': 'oil is late',
  'look-due': 'a second look is due',
  'look-late': 'a second look is late',
  'folded-nearing': 'the folded limit comes near',
  'folded-over': 'the folded limit is reached',
  'folded-still': 'still folded',
  'must-stay': 'the top must stay as it is',
  'care-note': 'care note',
  'visit-offered': 'days on offer',
  'visit-booked': 'visit booked',
  'visit-moved': 'visit moved',
  'visit-called-off': 'visit called off',
  'visit-report': 'report of a visit',
  'warranty-ending': 'a warranty ends',
  'care-day-asked': 'asked to a care day',
  estimate: 'estimate',
};

/** How a letter stands, as a shape and in words; one in the mail tray reached nobody. */
export function standingOf(
  state: LetterState,
  inTray: boolean,
): { readonly mark: string; readonly words: string } {
  return inTray && state === 'delivered'
    ? { mark: '□', words: 'lies in the mail tray: nobody was written to' }
    : { mark: STATE_MARKS[state], words: STATE_WORDS[state] };
}

const STATE_WORDS: Readonly<Record<LetterState, string>> = {
  planned: 'waits',
  sending: 'is leaving',
  delivered: 'was taken by the mail server',
  failed: 'did not get through',
  unknown: 'nobody knows whether it got through',
  cancelled: 'was withdrawn before it left',
};

const STATE_MARKS: Readonly<Record<LetterState, string>> = {
  planned: '○',
  sending: '◐',
  delivered: '●',
  failed: '■',
  unknown: '◆',
  cancelled: '—',
};
