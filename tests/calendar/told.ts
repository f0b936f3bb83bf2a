import ICAL from 'ical.js';
import type { Workshop } from '../setup/workshop.ts';

export interface ToldLetter {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
  readonly subject: string;
  readonly text: string;
  readonly notBefore: string;
}

/** The letters about visits of a car in the order of writing, as `KIND STATE`. */
export async function visitLetters(shop: Workshop, carId: string): Promise<ToldLetter[]> {
  const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=200`);
  return body.items.filter((letter: ToldLetter) => letter.kind.startsWith('visit-'));
}

export const inBrief = (letters: readonly ToldLetter[]) =>
  letters.map(({ kind, state }) => `${kind} ${state}`);

export interface AttachedEvent {
  readonly method: string;
  readonly attachedAs: string;
  readonly uid: string;
  readonly sequence: number;
  readonly status: string;
  readonly start: string;
  readonly end: string;
  readonly stamp: string;
  readonly alarms: number;
}

/** The calendar object of a letter as an independent parser reads it; null where there is none. */
export async function attachedEvent(shop: Workshop, id: string): Promise<AttachedEvent | null> {
  const rows = await shop.context.store.sql.all<{ calendar: string | null }>(
    'SELECT "calendar" FROM "letter_body" WHERE "letterId" = ?',
    [id],
  );
  const column = rows[0]?.calendar ?? null;
  if (column === null) return null;
  const { method, content } = JSON.parse(column) as { method: string; content: string };
  const calendar = new ICAL.Component(ICAL.parse(content) as unknown[]);
  const component = calendar.getFirstSubcomponent('vevent');
  if (component === null) throw new Error('no event in the object');
  const event = new ICAL.Event(component);
  const textOf = (name: string) => String(component.getFirstPropertyValue(name) ?? '');
  return {
    method: String(calendar.getFirstPropertyValue('method')),
    attachedAs: method,
    uid: event.uid,
    sequence: event.sequence,
    status: textOf('status'),
    start: event.startDate.toString(),
    end: event.endDate.toString(),
    stamp: textOf('dtstamp'),
    alarms: component.getAllSubcomponents('valarm').length,
  };
}
