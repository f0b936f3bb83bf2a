import { DAY_ADVICE } from '../../../domain/calendar/day.ts';
import type { Refusal } from '../../../domain/refusal.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { dayExamples } from '../frame/day-fields.ts';
import type { SentFault } from '../frame/form.ts';
import { MOMENT_ADVICE } from './form-body.ts';

/**
 * What a refusal says beside the fields of a form. `fieldAt` names the field that a pointer into the
 * API's body means; null where the form has none. It is told in the language of the voice.
 */
export function faultsInForm(
  refusal: Refusal,
  fieldAt: (pointer: string) => string | null,
  voice: Voice,
): SentFault[] {
  const { say, tell } = voice;
  const told = (detail: string) =>
    detail.endsWith(DAY_ADVICE)
      ? say('form.day.unread', dayExamples(voice))
      : detail === MOMENT_ADVICE
        ? say('form.moment.unread', dayExamples(voice))
        : tell(forPeople(detail));
  switch (refusal.kind) {
    case 'invalid':
      return refusal.faults.map(({ pointer, detail }) => {
        return { field: fieldAt(pointer), words: told(detail) };
      });
    case 'conflict':
      return (refusal.faults ?? []).length > 0
        ? (refusal.faults ?? []).map(({ pointer, detail }) => {
            return { field: fieldAt(pointer), words: told(detail) };
          })
        : [{ field: null, words: told(refusal.detail) }];
    case 'changed-meanwhile':
      return [{ field: null, words: say('form.changed') }];
    case 'precondition-missing':
      return [{ field: null, words: say('form.incomplete') }];
    case 'not-allowed':
      return [{ field: null, words: told(refusal.detail) }];
    case 'not-found':
      return [{ field: null, words: say('form.nothing-there') }];
  }
}

/** Refusals speak to programs too; at the bench nobody sends requests. */
function forPeople(detail: string): string {
  return PHRASES.reduce((words, [phrase, instead]) => words.replace(phrase, instead), detail);
}

const PHRASES: readonly (readonly [RegExp, string])[] = [
  [/ Use plannedOn for a visit to come\./, ' For a visit to come, book it instead.'],
  [/ GET \/v1\/diary shows where there is room\./, ''],
  [/ Move it with PUT \S+\./, ' Open it to move it.'],
  [/ See GET \/v1\/\S+, or [^.]*\./, ' Choose one of the list.'],
  [/: see GET \/v1\/cars\/[^.]+\./, '.'],
  [/ \(another: true\)/, ''],
  [/ GET the top to see its pivots\./, ''],
  [/Give either a week, .*/, 'Choose a week or a day.'],
  [/^(?:Missing\. )?Give one of ".*$/, 'Choose one of the list.'],
  [/^Write at least one character\.$/, 'Fill this in.'],
  [/^(?:Missing\. )?Give a text(?: here)?\.$/, 'Fill this in.'],
  [/^Missing\. /, ''],
];
