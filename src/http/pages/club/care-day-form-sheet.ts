import type { Span } from '../../../domain/care-day/care-day-shape.ts';
import type { CareDayRecord } from '../../../usecases/care-days/care-day-record.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

export interface CareDayFormModel {
  readonly heading: string;
  readonly lead: string;
  readonly form: FormModel;
  readonly version: string;
  readonly fields: readonly FieldModel[];
  readonly back: string;
}

/** What the form begins with: a day as it stands, or the club's own minutes. */
export type CareDayBegin = Partial<CareDayRecord> &
  Pick<CareDayRecord, 'handMinutes' | 'poweredMinutes' | 'stepMinutes'>;

/** The form of a care day: when, where, how many benches, who helps. */
export function careDayFormSheet(
  begin: CareDayBegin,
  once: string,
  sent: Sent | null,
): [Frame, CareDayFormModel] {
  const { id } = begin;
  const action = id === undefined ? '/care-day/new' : `/care-day/${id}/change`;
  const minutes = (
    name: 'handMinutes' | 'poweredMinutes' | 'stepMinutes',
    label: string,
    hint = '',
  ) => field(sent, name, label, { value: begin[name], mode: 'numeric', hint });
  const fields = [
    field(sent, 'heldOn', 'Day', { type: 'date', value: begin.heldOn, needed: true }),
    field(sent, 'place', 'Where', { value: begin.place, needed: true }),
    field(sent, 'from', 'From', { type: 'time', value: begin.from ?? '09:00', needed: true }),
    field(sent, 'until', 'Until', { type: 'time', value: begin.until ?? '16:00', needed: true }),
    field(sent, 'benches', 'Benches', {
      value: begin.benches ?? 2,
      mode: 'numeric',
      hint: 'Places at which a car can stand and be worked on.',
    }),
    field(sent, 'breaks', 'Pauses', {
      value: (begin.breaks ?? [{ from: '12:30', until: '13:15' }]).map(spanInWords).join(', '),
      hint: 'As 12:30-13:15, several with commas. Nobody works on a car then.',
    }),
    minutes('handMinutes', 'Minutes for a top worked by hand', 'Shop rule; yours may be longer.'),
    minutes('poweredMinutes', 'Minutes for a powered top', 'Its panels come off first.'),
    minutes('stepMinutes', 'A car every so many minutes', 'Times are offered in these steps.'),
    field(sent, 'helpers', 'Helpers', {
      area: true,
      value: (begin.helpers ?? []).map((one) => helperInWords(one, begin)).join('\n'),
      hint: 'One a line. Two who work together are one line. Who is not there all day gets hours behind the name: Ada Byrne 10:00-13:00',
    }),
  ];
  const model: CareDayFormModel = {
    heading: id === undefined ? 'Plan a care day' : 'Change the care day',
    lead:
      id === undefined
        ? 'Nobody is asked before you tick whom to ask on the next page.'
        : 'Cars that have a time keep it. Put off to another day, they come at the same time then, and their owners get a letter.',
    form: formOf(action, once, sent, fields),
    version: String(begin.version ?? 1),
    fields,
    back: id === undefined ? '/care-day' : `/care-day/${id}`,
  };
  return [{ lang: 'en', title: 'Care day', nav: { here: 'care-day' } }, model];
}

function spanInWords({ from, until }: Span): string {
  return `${from}-${until}`;
}

function helperInWords(
  { name, ...hours }: CareDayRecord['helpers'][number],
  { from, until }: Partial<Span>,
): string {
  return hours.from === from && hours.until === until ? name : `${name} ${spanInWords(hours)}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'care-day-form': CareDayFormModel;
  }
}
