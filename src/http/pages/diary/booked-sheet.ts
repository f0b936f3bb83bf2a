import { voiceFor } from '../../../views/words/voice.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, plainChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { timeField } from './booking-sheet.ts';
import type { WeekModel } from '../frame/room-words.ts';
import type { RoomyWeekRecord } from '../../../usecases/bench/weeks-with-room.ts';
import { weekModels } from '../frame/room-words.ts';

export interface BookedPageFacts {
  readonly top: { readonly id: string; readonly mayMove: MayMove };
  readonly car: { readonly id: string; readonly registration: string };
  readonly visit: {
    readonly id: string;
    readonly kind: string;
    readonly state: string;
    readonly plannedOn: Day | null;
    readonly dropOffAt: Instant | null;
    readonly readyAt: Instant | null;
    readonly minutes: number | null;
    readonly notes: string | null;
    readonly version: number;
  };
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

const EN = localeOf('en-GB');

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
): [Frame, BookedModel] {
  const { visit, top, car, weeks } = facts;
  const own = `/visits/${visit.id}`;
  const sentTo = (form: SentForm['form']) => (came?.form === form ? came.sent : null);
  const open = visit.state === 'booked' || visit.state === 'planned';
  const planned = [
    choice(sentTo('plan'), 'kind', 'What for', plainChoices(VISIT_KINDS), { value: visit.kind }),
    field(sentTo('plan'), 'minutes', 'Minutes', { mode: 'numeric', value: visit.minutes }),
    field(sentTo('plan'), 'notes', 'Notes', { area: true, value: visit.notes }),
  ];
  const day = field(sentTo('move'), 'on', 'Or on a day', { type: 'date' });
  const time = timeField(sentTo('move'));
  const model: BookedModel = {
    ...shopStay(car.registration, top.mayMove, voiceFor('en')),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    workHref: `/cars/${car.id}/work`,
    lead: leadOf(visit, open, facts.timeZone),
    notes: visit.notes ?? '',
    doneHref: open ? `${own}/done` : null,
    version: String(visit.version),
    outcome: formOf(`${own}/outcome`, once, sentTo('outcome'), []),
    mayBeMissed: visit.plannedOn === null || visit.plannedOn <= facts.today,
    again: ['missed', 'cancelled'].includes(visit.state) && visit.plannedOn !== null,
    plan: formOf(`${own}/plan`, once, sentTo('plan'), planned),
    planned,
    move: formOf(`${own}/move`, once, sentTo('move'), [day, time]),
    weeks: weekModels(weeks),
    day,
    time,
  };
  return [{ lang: 'en', title: 'A booked visit', nav: { here: 'tops' } }, model];
}

function leadOf(
  { kind, state, plannedOn, dropOffAt, readyAt, minutes }: BookedPageFacts['visit'],
  open: boolean,
  zone: string,
): string {
  const day = plannedOn === null ? 'no day yet' : EN.day(plannedOn);
  const length = minutes === null ? '' : `, ${minutes} minutes`;
  if (!open) return `This ${kind} visit is ${state}: ${day}.`;
  if (dropOffAt === null || readyAt === null) return `Booked: ${kind}, ${day}${length}.`;
  const sameDay = dayIn(zone, readyAt) === plannedOn;
  const ready = sameDay ? EN.time(readyAt, zone) : EN.instant(readyAt, zone);
  return `Booked: ${kind}, ${day}, brought at ${EN.time(dropOffAt, zone)}, ready ${ready}${length}.`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly booked: BookedModel;
  }
}
