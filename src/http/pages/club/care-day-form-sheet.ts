import type { Span } from '../../../domain/care-day/care-day-shape.ts';
import type { CareDayRecord } from '../../../usecases/care-days/care-day-record.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { clockField, dayField } from '../frame/day-fields.ts';
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
  voice: Voice,
): [Frame, CareDayFormModel] {
  const { say, language } = voice;
  const { id } = begin;
  const action = id === undefined ? '/care-day/new' : `/care-day/${id}/change`;
  const minutes = (
    name: 'handMinutes' | 'poweredMinutes' | 'stepMinutes',
    label: string,
    hint: string,
  ) => field(sent, name, label, { value: begin[name], mode: 'numeric', hint });
  const fields = [
    dayField(sent, 'heldOn', say('day-form.held-on'), voice, {
      value: begin.heldOn,
      needed: true,
    }),
    field(sent, 'place', say('day-form.place'), { value: begin.place, needed: true }),
    clockField(sent, 'from', say('day-form.from'), {
      value: begin.from ?? '09:00',
      needed: true,
    }),
    clockField(sent, 'until', say('day-form.until'), {
      value: begin.until ?? '16:00',
      needed: true,
    }),
    field(sent, 'benches', say('day-form.benches'), {
      value: begin.benches ?? 2,
      mode: 'numeric',
      hint: say('day-form.benches.hint'),
    }),
    field(sent, 'breaks', say('day-form.breaks'), {
      value: (begin.breaks ?? [{ from: '12:30', until: '13:15' }]).map(spanInWords).join(', '),
      hint: say('day-form.breaks.hint'),
    }),
    minutes('handMinutes', say('day-form.hand'), say('day-form.hand.hint')),
    minutes('poweredMinutes', say('day-form.powered'), say('day-form.powered.hint')),
    minutes('stepMinutes', say('day-form.step'), say('day-form.step.hint')),
    field(sent, 'helpers', say('day-form.helpers'), {
      area: true,
      value: (begin.helpers ?? []).map((one) => helperInWords(one, begin)).join('\n'),
      hint: say('day-form.helpers.hint'),
    }),
  ];
  const model: CareDayFormModel = {
    heading: say(id === undefined ? 'day-form.heading.new' : 'day-form.heading.change'),
    lead: say(id === undefined ? 'day-form.lead.new' : 'day-form.lead.change'),
    form: formOf(action, once, sent, fields),
    version: String(begin.version ?? 1),
    fields,
    back: id === undefined ? '/care-day' : `/care-day/${id}`,
  };
  return [{ lang: language, title: say('day-form.title'), nav: { here: 'care-day' } }, model];
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
