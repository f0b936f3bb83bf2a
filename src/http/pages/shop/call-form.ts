import { CALL_OUTCOMES, type CallOutcome } from '../../../domain/calls/earlier-calls.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, spokenChoices } from '../frame/form.ts';

/** The form under which a call is noted, with a button for each thing that may come of one. */
export interface CallFormModel {
  readonly form: FormModel;
  /** The page to come back to. */
  readonly from: 'today' | 'car';
  readonly notes: FieldModel;
  readonly outcomes: readonly { readonly value: string; readonly words: string }[];
}

export function callForm(
  carId: string,
  from: CallFormModel['from'],
  once: string,
  sent: Sent | null,
  voice: Voice,
): CallFormModel {
  // A long field: in a short one the return key would press the first button.
  const notes = field(sent, 'notes', voice.say('call-form.notes'), {
    area: true,
    id: `notes-${carId}`,
  });
  return {
    form: formOf(`/cars/${carId}/calls`, once, sent, [notes]),
    from,
    notes,
    outcomes: spokenChoices(voice, 'call-form', CALL_OUTCOMES).map(([value, words]) => ({
      value,
      words,
    })),
  };
}

/** "reached", as a call is told of later. */
export function outcomeInWords({ say }: Voice, outcome: CallOutcome): string {
  return say(`call-outcome.${outcome}`);
}

/** "Rung last on Friday 12 June 2026: no answer."; empty where nobody was rung. */
export function lastCallInWords(
  voice: Voice,
  lastCall: { readonly on: Day; readonly outcome: CallOutcome } | null,
): string[] {
  if (lastCall === null) return [];
  const { on, outcome } = lastCall;
  return [
    voice.say('call-form.last', { day: voice.day(on), outcome: outcomeInWords(voice, outcome) }),
  ];
}
