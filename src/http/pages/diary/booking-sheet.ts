import { voiceFor } from '../../../views/words/voice.ts';
import type { VisitKind } from '../../../domain/bench/minutes.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import type { WeekModel } from '../frame/room-words.ts';
import { weekModels } from '../frame/room-words.ts';
import type { RoomRecord } from '../../../usecases/bench/weeks-with-room.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import { bookedInWords } from '../cars/top-words.ts';

export interface BookingFacts
  extends
    Pick<TopPageRecord, 'top' | 'car' | 'today' | 'booked'>,
    Pick<RoomRecord, 'because' | 'weeks'> {
  readonly kind: VisitKind;
  /** A call led here, and was noted. */
  readonly called: boolean;
}

export interface BookingModel extends ShopStay {
  readonly registration: string;
  readonly topHref: string;
  readonly done: string;
  readonly due: string;
  /** Why nothing can be booked for this top; empty where something can. */
  readonly retired: string;
  readonly kinds: readonly {
    readonly href: string;
    readonly words: string;
    readonly here: boolean;
  }[];
  readonly form: FormModel;
  readonly kind: string;
  readonly length: string;
  /** The booking of this kind that stands already; null where there is none. */
  readonly standing: { readonly href: string; readonly words: string } | null;
  readonly weeks: readonly WeekModel[];
  readonly day: FieldModel;
  readonly time: FieldModel;
}

const EN = localeOf('en-GB');
const KINDS: readonly VisitKind[] = ['lubrication', 'settling', 'look', 'repair'];

/** The page on which a visit is booked into a week with room, or on a day. */
export function bookingSheet(
  facts: BookingFacts,
  once: string,
  sent: Sent | null,
): [Frame, BookingModel] {
  const { top, car, kind, because, weeks, today } = facts;
  const { dueOn, windowFrom, windowTo, state } = top.lubrication;
  const own = `/tops/${top.id}/booking`;
  const standing = facts.booked.find(
    (visit) => visit.kind === kind && (visit.plannedOn ?? today) >= today,
  );
  const day = field(sent, 'on', 'Or on a day', { type: 'date' });
  const time = timeField(sent);
  const model: BookingModel = {
    ...shopStay(car.registration, top.mayMove, voiceFor('en')),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    done: facts.called ? 'The call is noted. Now the week.' : '',
    due: `Oil due on ${EN.day(dueOn)}, ${voiceFor('en').say(`due.${state}`)}; window ${EN.span(windowFrom, windowTo)}.`,
    retired:
      top.retiredOn === null
        ? ''
        : `This top was retired on ${EN.day(top.retiredOn)}. Book for the top that is on the car.`,
    kinds: KINDS.map((one) => ({ href: `${own}?kind=${one}`, words: one, here: one === kind })),
    form: formOf(own, once, sent, [day, time]),
    kind,
    length: `It takes ${because}.`,
    standing: standing
      ? { href: `/visits/${standing.id}`, words: bookedInWords(standing, voiceFor('en')) }
      : null,
    weeks: weekModels(weeks),
    day,
    time,
  };
  return [{ lang: 'en', title: 'Book a visit', nav: { here: 'tops' } }, model];
}

/** When the car is to be brought on the day. */
export function timeField(sent: Sent | null): FieldModel {
  const hint = 'Left empty it is the first time that is free.';
  return field(sent, 'at', 'Brought at', { type: 'time', hint });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly booking: BookingModel;
  }
}
