import type { z } from 'zod';
import { wholeUnits } from '../../../domain/money/amount.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { dayIn as todayIn, instantAt } from '../../../domain/calendar/zone.ts';
import { invalid, pointerTo, Refused } from '../../../domain/refusal.ts';
import { readTime } from '../../../views/words/written-day.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { SmallForm } from '../frame/small-form.ts';

/** What to do about a text that is no day with its time; pages say it in the reader's own way of writing. */
export const MOMENT_ADVICE = 'Give a time that exists, day and hour.';

/** The text of a field without blanks round it; undefined where it is empty. */
export function textIn(form: SmallForm, name: string): string | undefined {
  const text = (Object.hasOwn(form, name) ? form[name] : undefined)?.replaceAll('\r\n', '\n');
  return text === undefined || text.trim() === '' ? undefined : text.trim();
}

/**
 * The number in a field, with a comma or a point; undefined where it is empty. What is no number
 * stays as it was typed, so that the shape can refuse it.
 */
export function numberIn(form: SmallForm, name: string): number | string | undefined {
  const text = textIn(form, name)?.replace('−', '-');
  return text !== undefined && /^[+-]?\d{1,9}(?:[.,]\d{1,6})?$/.test(text)
    ? Number(text.replace(',', '.'))
    : text;
}

/**
 * An amount in a field, in whole units of a number with so many digits behind the point; undefined where
 * it is empty. What is no amount stays as it was typed, so that the shape can refuse it.
 */
export function unitsIn(
  form: SmallForm,
  name: string,
  digits: number,
): number | string | undefined {
  const text = textIn(form, name);
  return text === undefined ? undefined : (wholeUnits(text, digits) ?? text);
}

export function isTicked(form: SmallForm, name: string): boolean {
  return textIn(form, name) !== undefined;
}

/** The version of a record that a form was filled in upon; null where it says none. */
export function versionIn(form: SmallForm): number | null {
  const text = textIn(form, 'version') ?? '';
  return /^\d{1,9}$/.test(text) ? Number(text) : null;
}

/**
 * The day in a field as `YYYY-MM-DD`, read as the language writes days; undefined where it is empty. What
 * is no day stays as it was typed, so that the shape can refuse it.
 */
export function dayIn(form: SmallForm, name: string, { locale }: Voice): string | undefined {
  const text = textIn(form, name);
  return text === undefined ? undefined : (locale.fields().read(text) ?? text);
}

/** The time of day in a field as HH:MM, read and left as a day is. */
export function timeIn(form: SmallForm, name: string): string | undefined {
  const text = textIn(form, name);
  return text === undefined ? undefined : (readTime(text) ?? text);
}

/** The day and time in a field, on the clock of a zone; undefined where it is empty. */
export function instantIn(
  form: SmallForm,
  name: string,
  { timeZone, now, voice }: { timeZone: string; now: Instant; voice: Voice },
): Instant | undefined {
  const text = textIn(form, name);
  if (text === undefined) return undefined;
  const read = voice.locale.fields().readMoment(text, todayIn(timeZone, now));
  if (read === null) throw invalid(`#/${name}`, MOMENT_ADVICE);
  return instantAt(timeZone, read.day, read.time);
}

/** Reads what a form says by its shape; refused field by field, as the API refuses. */
export function readBy<Shape extends z.ZodType>(shape: Shape, typed: unknown): z.output<Shape> {
  const read = shape.safeParse(typed);
  if (read.success) return read.data;
  const faults = read.error.issues.map(({ path, message }) => ({
    pointer: pointerTo(path),
    detail: message,
  }));
  throw new Refused({ kind: 'invalid', faults });
}
