import type { Instant } from '../../../domain/calendar/instant.ts';
import { clockTimeIn, dayIn } from '../../../domain/calendar/zone.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, Sent } from './form.ts';
import { field, typedIn } from './form.ts';

// A browser writes its own fields for days and times as it was set up, not as the page speaks. So these are
// fields for text, filled and read as the language writes days; `form-body.ts` reads them.

type Given = Partial<Pick<FieldModel, 'id' | 'hint' | 'needed'>> & {
  readonly value?: string | null | undefined;
};

// In the order of day and month nobody can take it for another day.
const EXAMPLE = '2026-10-25';

/** Two ways in which a day may be typed, as the figures of words that show them. */
export function dayExamples({ locale }: Voice): { one: string; other: string } {
  const { write, writeOther } = locale.fields();
  return { one: write(EXAMPLE), other: writeOther(EXAMPLE) };
}

/** A field for a day, as the language writes it; below its label stands how. */
export function dayField(
  sent: Sent | null,
  name: string,
  label: string,
  voice: Voice,
  given: Given = {},
): FieldModel {
  const { write, read } = voice.locale.fields();
  const { value, hint, ...rest } = given;
  const typed = typedIn(sent, name);
  const meant = read(typed ?? value ?? '');
  const shown = understood(sent, name, meant === null ? null : write(meant));
  const examples = voice.say('form.day.hint', dayExamples(voice));
  return {
    ...field(shown, name, label, {
      ...rest,
      value: value === null || value === undefined || value === '' ? '' : write(value),
      hint: hint === '' ? '' : [examples, hint ?? ''].filter(Boolean).join(' '),
    }),
    picker: {
      kind: 'day',
      words: voice.say('form.pick'),
      tag: voice.locale.tag,
      begin: meant ?? '',
    },
  };
}

/** A field for a time of day, on a clock of 24 hours. */
export function clockField(
  sent: Sent | null,
  name: string,
  label: string,
  given: Given = {},
): FieldModel {
  return field(sent, name, label, given);
}

/** A field for a day and a time that has passed, on the clock of a zone; below its label stands how. */
export function momentField(
  sent: Sent | null,
  name: string,
  label: string,
  { voice, timeZone, now }: { voice: Voice; timeZone: string; now: Instant },
  given: Given = {},
): FieldModel {
  const { write, readMoment } = voice.locale.fields();
  const { value: _none, hint, ...rest } = given;
  const today = dayIn(timeZone, now);
  const meant = readMoment(typedIn(sent, name) ?? '', today);
  const shown = understood(sent, name, meant && `${write(meant.day)} ${meant.time}`);
  const at = `${write(today)} ${clockTimeIn(timeZone, now)}`;
  const examples = voice.say('form.moment.hint', { at });
  return {
    ...field(shown, name, label, {
      ...rest,
      hint: [examples, hint ?? ''].filter(Boolean).join(' '),
    }),
    picker: {
      kind: 'moment',
      words: voice.say('form.pick'),
      tag: voice.locale.tag,
      begin: meant === null ? '' : `${meant.day}T${meant.time}`,
    },
  };
}

/** What was understood comes back as it was understood, what was not as it was typed. */
function understood(sent: Sent | null, name: string, meant: string | null): Sent | null {
  const again = sent !== null && meant !== null && typedIn(sent, name) !== null;
  return again ? { ...sent, typed: { ...sent.typed, [name]: meant } } : sent;
}
