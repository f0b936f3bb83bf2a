import type { Voice } from '../../../views/words/voice.ts';
import type { VisitKind } from '../../../domain/bench/minutes.ts';
import { clockField, dayField } from '../frame/day-fields.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { nobodyLeft, type NobodyModel } from '../frame/nobody-words.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import type { WeekModel } from '../frame/room-words.ts';
import { weekModels } from '../frame/room-words.ts';
import type { RoomRecord } from '../../../usecases/bench/weeks-with-room.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import { bookedInWords } from '../cars/top-words.ts';

export interface BookingFacts
  extends
    Pick<TopPageRecord, 'top' | 'car' | 'erased' | 'today' | 'booked'>,
    Pick<RoomRecord, 'because' | 'weeks'> {
  readonly kind: VisitKind;
  /** A call led here, and was noted. */
  readonly called: boolean;
  /** Whether whoever looks may give the car to another owner. */
  readonly gives: boolean;
}

export interface BookingModel extends ShopStay {
  readonly registration: string;
  readonly topHref: string;
  readonly done: string;
  readonly due: string;
  /** Why nothing can be booked for this top; empty where something can. */
  readonly retired: string;
  /** Set where there is nobody with whom anything could be agreed. */
  readonly nobody: NobodyModel | null;
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

const KINDS: readonly VisitKind[] = ['lubrication', 'settling', 'look', 'repair'];

/** The page on which a visit is booked into a week with room, or on a day. */
export function bookingSheet(
  facts: BookingFacts,
  once: string,
  sent: Sent | null,
  voice: Voice,
): [Frame, BookingModel] {
  const { say } = voice;
  const { top, car, kind, because, weeks, today, erased, gives } = facts;
  const { dueOn, windowFrom, windowTo, state } = top.lubrication;
  const own = `/tops/${top.id}/booking`;
  const standing = facts.booked.find(
    (visit) => visit.kind === kind && (visit.plannedOn ?? today) >= today,
  );
  const day = dayField(sent, 'on', say('booking.day'), voice);
  const time = timeField(sent, voice);
  const model: BookingModel = {
    ...shopStay(car.registration, top.mayMove, voice),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    done: facts.called ? say('booking.done') : '',
    due: say('booking.due', {
      day: voice.day(dueOn),
      state: say(`due.${state}`),
      window: voice.locale.span(windowFrom, windowTo),
    }),
    retired:
      top.retiredOn === null ? '' : say('booking.retired', { day: voice.day(top.retiredOn) }),
    nobody: nobodyLeft({ erased, carId: car.id, gives }, voice),
    kinds: KINDS.map((one) => ({
      href: `${own}?kind=${one}`,
      words: say(`visit-kind.${one}`),
      here: one === kind,
    })),
    form: formOf(own, once, sent, [day, time]),
    kind,
    length: say('booking.length', { because: voice.tell(because) }),
    standing: standing
      ? { href: `/visits/${standing.id}`, words: bookedInWords(standing, voice) }
      : null,
    weeks: weekModels(weeks, voice),
    day,
    time,
  };
  return [{ lang: voice.language, title: say('booking.title'), nav: { here: 'tops' } }, model];
}

/** When the car is to be brought on the day. */
export function timeField(sent: Sent | null, { say }: Voice): FieldModel {
  const hint = say('booking.time.hint');
  return clockField(sent, 'at', say('booking.time'), { hint });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly booking: BookingModel;
  }
}
