import type { z } from 'zod';
import { wholeUnits } from '../../../domain/money/amount.ts';
import { isDay } from '../../../domain/calendar/day.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { instantAt } from '../../../domain/calendar/zone.ts';
import { invalid, pointerTo, Refused } from '../../../domain/refusal.ts';
import type { SmallForm } from '../frame/small-form.ts';

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

/** A time as a browser writes it, on the clock of a zone; undefined where the field is empty. */
export function instantIn(form: SmallForm, name: string, timeZone: string): Instant | undefined {
  const text = textIn(form, name);
  if (text === undefined) return undefined;
  const [, day = '', time = ''] =
    /^(\d{4}-\d{2}-\d{2})T((?:[01]\d|2[0-3]):[0-5]\d)(?::\d{2}(?:\.\d{1,3})?)?$/.exec(text) ?? [];
  if (!isDay(day)) throw invalid(`#/${name}`, 'Give a time that exists, day and hour.');
  return instantAt(timeZone, day, time);
}

/** Reads what a form says by its shape; refused field by field, as the API refuses. */
export function readBy<Shape extends z.ZodType>(shape: Shape, said: unknown): z.output<Shape> {
  const read = shape.safeParse(said);
  if (read.success) return read.data;
  const faults = read.error.issues.map(({ path, message }) => ({
    pointer: pointerTo(path),
    detail: message,
  }));
  throw new Refused({ kind: 'invalid', faults });
}
