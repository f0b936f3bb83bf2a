import type { Voice } from '../../../views/words/voice.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { dayField } from '../frame/day-fields.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { timeField } from './booking-sheet.ts';
import type { WeekModel } from '../frame/room-words.ts';
import type { RoomyWeekRecord } from '../../../usecases/bench/weeks-with-room.ts';
import { weekModels } from '../frame/room-words.ts';

export interface BookedPageFacts extends Pick<TopPageRecord, 'top' | 'car'> {
  readonly visit: VisitRecord;
  readonly weeks: readonly RoomyWeekRecord[];
  /** The day on the shop's clock. */
  readonly today: Day;
  /** Zone of the shop's clock. */
  readonly timeZone: string;
}

export interface BookedModel extends ShopStay {
  readonly registration: string;
  readonly topHref: string;
  readonly workHref: string;
  readonly lead: string;
  readonly notes: string;
  /** Where it is completed; null for a visit that is over. */
  readonly doneHref: string | null;
  /** What was found and done, where it took place. */
  readonly recordHref: string | null;
  readonly version: string;
  readonly outcome: FormModel;
  /** Whether its day has come, so that somebody may have stayed away. */
  readonly mayBeMissed: boolean;
  /** Whether it is over and could be booked again as it was. */
  readonly again: boolean;
  readonly plan: FormModel;
  readonly planned: readonly FieldModel[];
  readonly move: FormModel;
  readonly weeks: readonly WeekModel[];
  readonly day: FieldModel;
  readonly time: FieldModel;
}

/** The forms of a page, of which one may have come back. */
export interface SentForm {
  readonly form: 'outcome' | 'move' | 'plan';
  readonly sent: Sent;
}

/** A booked visit: it took place, nobody came, it is called off, or it moves. */
export function bookedSheet(
  facts: BookedPageFacts,
  once: string,
  came: SentForm | null,
  voice: Voice,
): [Frame, BookedModel] {
  const { say } = voice;
  const { visit, top, car, weeks } = facts;
  const own = `/visits/${visit.id}`;
  const sentTo = (form: SentForm['form']) => (came?.form === form ? came.sent : null);
  const open = visit.state === 'booked' || visit.state === 'planned';
  const planned = [
    choice(
      sentTo('plan'),
      'kind',
      say('booked.kind'),
      spokenChoices(voice, 'visit-kind', VISIT_KINDS),
      { value: visit.kind },
    ),
    field(sentTo('plan'), 'minutes', say('booked.minutes'), {
      mode: 'numeric',
      value: visit.minutes,
    }),
    field(sentTo('plan'), 'notes', say('booked.notes'), { area: true, value: visit.notes }),
  ];
  const day = dayField(sentTo('move'), 'on', say('booking.day'), voice);
  const time = timeField(sentTo('move'), voice);
  const model: BookedModel = {
    ...shopStay(car.registration, top.mayMove, voice),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    workHref: `/cars/${car.id}/work`,
    lead: leadOf(visit, open, facts.timeZone, voice),
    notes: visit.notes ?? '',
    doneHref: open ? `${own}/done` : null,
    recordHref: visit.state === 'done' ? `${own}/record` : null,
    version: String(visit.version),
    outcome: formOf(`${own}/outcome`, once, sentTo('outcome'), []),
    mayBeMissed: visit.plannedOn === null || visit.plannedOn <= facts.today,
    again: ['missed', 'cancelled'].includes(visit.state) && visit.plannedOn !== null,
    plan: formOf(`${own}/plan`, once, sentTo('plan'), planned),
    planned,
    move: formOf(`${own}/move`, once, sentTo('move'), [day, time]),
    weeks: weekModels(weeks, voice),
    day,
    time,
  };
  return [{ lang: voice.language, title: say('booked.title'), nav: { here: 'tops' } }, model];
}

function leadOf(
  { kind, state, doneOn, plannedOn, dropOffAt, readyAt, minutes }: BookedPageFacts['visit'],
  open: boolean,
  zone: string,
  voice: Voice,
): string {
  const { say } = voice;
  const on = doneOn ?? plannedOn;
  const fills = {
    kind: say(`visit-kind.${kind}`),
    day: on === null ? say('booked.no-day') : voice.day(on),
    length: minutes === null ? '' : say('booked.length', { minutes: voice.locale.number(minutes) }),
  };
  if (!open) return say('booked.over', { ...fills, state: say(`visit-state.${state}`) });
  if (dropOffAt === null || readyAt === null) return say('booked.lead', fills);
  const sameDay = dayIn(zone, readyAt) === plannedOn;
  const ready = sameDay ? voice.time(readyAt, zone) : voice.locale.instant(readyAt, zone);
  return say('booked.lead.timed', { ...fills, time: voice.time(dropOffAt, zone), ready });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly booked: BookedModel;
  }
}
