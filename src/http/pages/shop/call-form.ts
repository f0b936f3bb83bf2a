import { CALL_OUTCOMES, type CallOutcome } from '../../../domain/calls/earlier-calls.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';

/** The form under which a call is noted, with a button for each thing that may come of one. */
export interface CallFormModel {
  readonly form: FormModel;
  /** The page to come back to. */
  readonly from: 'today' | 'car';
  readonly notes: FieldModel;
  readonly outcomes: readonly { readonly value: string; readonly words: string }[];
}

const OUTCOME_WORDS: Readonly<Record<CallOutcome, string>> = {
  reached: 'Reached',
  'no-answer': 'No answer',
  'message-left': 'Message left',
  booked: 'Wants a visit: book it',
  declined: 'Wants none',
};

export function callForm(
  carId: string,
  from: CallFormModel['from'],
  once: string,
  sent: Sent | null,
): CallFormModel {
  // A long field: in a short one the return key would press the first button.
  const notes = field(sent, 'notes', 'What was said', { area: true, id: `notes-${carId}` });
  return {
    form: formOf(`/cars/${carId}/calls`, once, sent, [notes]),
    from,
    notes,
    outcomes: CALL_OUTCOMES.map((value) => ({ value, words: OUTCOME_WORDS[value] })),
  };
}

/** "Reached", as a call is told of later. */
export function outcomeInWords(outcome: CallOutcome): string {
  return outcome.replaceAll('-', ' ');
}
