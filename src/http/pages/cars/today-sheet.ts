import { unbroken } from '../frame/phone-words.ts';
import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { shopStay } from '../frame/stay-words.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { addDays } from '../../../domain/calendar/day.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import type { FoldedClock } from '../../../domain/folding/clock.ts';
import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import type { OwnerNewsRecord } from '../../../usecases/day/owner-news.ts';
import type { LookDue } from '../../../domain/lubrication/look-again.ts';
import { localeOf } from '../../../views/words/locale.ts';
import { type CallFormModel, callForm } from '../shop/call-form.ts';
import { clockWords } from '../frame/clock-words.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { newsRow } from './news-words.ts';
import { DUE_WORDS } from './tops-sheet.ts';
import { voiceFor } from '../../../views/words/voice.ts';

export interface TodayFacts {
  readonly now: Instant;
  readonly today: Day;
  readonly organisation: { readonly name: string; readonly timeZone: string };
  readonly staying: readonly {
    readonly carId: string;
    readonly topId: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly phone: string | null;
    readonly refusesCalls: boolean;
    readonly mayMove: { readonly reasons: readonly { readonly words: string }[] };
    readonly repairOn: Day | null;
  }[];
  readonly calls: {
    readonly items: readonly {
      readonly carId: string;
      readonly topId: string;
      readonly registration: string;
      readonly ownerName: string;
      readonly phone: string | null;
      readonly reason: string;
      readonly lastCall: { readonly on: Day; readonly outcome: string } | null;
    }[];
    readonly inAll: number;
  };
  readonly due: readonly {
    readonly topId: string;
    readonly carId: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly lubrication: LubricationDue;
  }[];
  readonly moreDue: boolean;
  readonly looks: readonly {
    readonly topId: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly look: LookDue;
  }[];
  readonly folded: readonly {
    readonly carId: string;
    readonly registration: string;
    readonly timeZone: string;
    readonly ownerName: string;
    readonly phone: string | null;
    readonly clock: FoldedClock & { readonly mayMove: MayMove };
  }[];
  readonly diary: {
    readonly weeks: readonly {
      readonly id: string;
      readonly monday: Day;
      readonly openDays: readonly Day[];
      readonly capacityPlaces: number;
      readonly bookedPlaces: number;
      readonly offeredPlaces: number;
      readonly visits: readonly {
        readonly visitId: string;
        readonly topId: string;
        readonly registration: string;
        readonly ownerName: string;
        readonly kind: string;
        readonly on: Day;
        readonly minutes: number;
      }[];
    }[];
    readonly says: readonly string[];
  };
  readonly parts: readonly {
    readonly label: string;
    readonly piece: string;
    readonly order: number;
    readonly inHand: number;
    readonly because: string;
  }[];
  readonly letters: {
    readonly days: number;
    readonly states: readonly { readonly state: string; readonly n: number }[];
    readonly setAside: readonly {
      readonly name: string;
      readonly at: Instant;
      readonly reason: string;
    }[];
    readonly faults: readonly {
      readonly id: string;
      readonly nextTryAt: Instant | null;
      readonly kind: string;
      readonly state: string;
      readonly toName: string;
      readonly plannedAt: Instant;
      readonly fault: string;
    }[];
  };
  readonly standing: {
    readonly items: readonly {
      readonly ownerId: string;
      readonly name: string;
      readonly address: string;
      readonly words: string;
    }[];
    readonly alerts: readonly { readonly at: Instant; readonly words: string }[];
  };
  readonly news: readonly OwnerNewsRecord[];
}

/** Who looks at the page, what led to it, and the call whose form came back. */
export interface TodayLooking {
  /** Whether whoever looks may record something. */
  readonly records: boolean;
  readonly done: string | undefined;
  readonly once: string;
  readonly came: { readonly carId: string; readonly sent: Sent } | null;
}

interface Person {
  readonly ownerName: string;
  readonly phone: string | null;
  readonly dial: string | null;
}

export interface TodayModel {
  /** What was just recorded; empty where nothing was. */
  readonly done: string;
  readonly records: boolean;
  readonly organisation: string;
  readonly day: string;
  /** What owners did by their links. */
  readonly news: readonly {
    readonly href: string;
    readonly mark: string;
    readonly registration: string;
    readonly words: string;
    readonly when: string;
  }[];
  readonly staying: readonly (Person & {
    readonly href: string;
    readonly registration: string;
    readonly why: string;
    /** What is to be done, or for when the repair is booked. */
    readonly deed: string;
    readonly book: string | null;
    readonly isBooked: boolean;
    readonly note: CallFormModel | null;
    readonly noteOpen: boolean;
  })[];
  readonly calls: readonly (Person & {
    readonly href: string;
    readonly registration: string;
    readonly reason: string;
    readonly lastCall: string | null;
    /** Null for whoever may only read. */
    readonly note: CallFormModel | null;
    readonly noteOpen: boolean;
  })[];
  readonly moreCalls: number;
  readonly folded: readonly (Person & {
    readonly href: string;
    readonly registration: string;
    readonly state: 'nearing' | 'over';
    readonly figure: string;
    readonly until: string;
    /** How it is to be raised, where that takes care. */
    readonly care: readonly string[];
  })[];
  readonly due: readonly {
    readonly href: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly state: LubricationDue['state'];
    readonly word: string;
    readonly day: string;
    readonly until: string;
  }[];
  readonly moreDue: boolean;
  readonly looks: readonly {
    readonly href: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly state: LookDue['state'];
    readonly word: string;
    readonly since: string;
    readonly until: string;
    /** Null for whoever may only read, and while the top must not be moved. */
    readonly book: string | null;
  }[];
  readonly weeks: readonly {
    readonly heading: string;
    readonly room: string;
    readonly visits: readonly {
      readonly href: string;
      readonly words: string;
      readonly day: string;
    }[];
  }[];
  readonly says: readonly string[];
  readonly parts: readonly {
    readonly label: string;
    readonly piece: string;
    readonly order: string;
    readonly inHand: string;
    readonly because: string;
  }[];
  readonly letterDays: string;
  readonly letters: string;
  readonly faults: readonly {
    readonly what: string;
    readonly when: string;
    readonly fault: string;
    /** The form that says what is to become of it, where that waits for a word. */
    readonly fate: FormModel | null;
  }[];
  readonly alerts: readonly { readonly when: string; readonly words: string }[];
  readonly unreached: readonly {
    readonly href: string;
    readonly name: string;
    readonly address: string;
    readonly words: string;
  }[];
}

const EN = localeOf('en-GB');
const LETTER_WORDS: Readonly<Record<string, string>> = {
  planned: 'waiting',
  sending: 'on their way',
  unknown: 'of unknown fate',
  delivered: 'delivered',
  failed: 'not accepted',
  cancelled: 'cancelled before they left',
};

/** The shop's morning page. */
export function todaySheet(facts: TodayFacts, looking: TodayLooking): [Frame, TodayModel] {
  const { records, once, came } = looking;
  const sentFor = (carId: string) => (came?.carId === carId ? came.sent : null);
  const { calls, due, diary, letters, standing, now } = facts;
  const { timeZone } = facts.organisation;
  const stays = new Set(facts.staying.map(({ topId }) => topId));
  const voice = voiceFor('en');
  const when = (instant: Instant) => voice.moment(instant, timeZone, now);
  const model: TodayModel = {
    done: DONE[looking.done ?? ''] ?? '',
    records,
    organisation: facts.organisation.name,
    day: EN.day(facts.today),
    news: facts.news.map((one) => newsRow(one, timeZone, when(one.at))),
    staying: facts.staying.map((car) => ({
      ...person(car),
      href: `/tops/${car.topId}`,
      registration: car.registration,
      why: [...new Set(car.mayMove.reasons.map((reason) => reason.words))].join('; '),
      deed: deedFor(car),
      book: records && car.repairOn === null ? `/tops/${car.topId}/booking?kind=repair` : null,
      isBooked: car.repairOn !== null,
      note:
        records && car.repairOn === null && !car.refusesCalls
          ? callForm(car.carId, 'today', once, sentFor(car.carId))
          : null,
      noteOpen: sentFor(car.carId) !== null,
    })),
    calls: calls.items.map((call) => ({
      ...person(call),
      href: `/tops/${call.topId}`,
      registration: call.registration,
      reason: call.reason,
      lastCall:
        call.lastCall === null
          ? null
          : `Rung last on ${EN.day(call.lastCall.on)}: ${words(call.lastCall.outcome)}.`,
      note: records ? callForm(call.carId, 'today', once, sentFor(call.carId)) : null,
      noteOpen: sentFor(call.carId) !== null,
    })),
    moreCalls: Math.max(0, calls.inAll - calls.items.length),
    folded: facts.folded.flatMap((car) => foldedRow(car, now)),
    due: due.map(({ topId, registration, ownerName, lubrication }) => ({
      href: `/tops/${topId}`,
      registration,
      ownerName,
      state: lubrication.state,
      word: stays.has(topId) ? 'must not be moved: repair first' : DUE_WORDS[lubrication.state],
      day: EN.day(lubrication.dueOn),
      until: EN.day(lubrication.windowTo),
    })),
    moreDue: facts.moreDue,
    looks: facts.looks.map(({ topId, registration, ownerName, look }) => ({
      href: `/tops/${topId}`,
      registration,
      ownerName,
      state: look.state,
      word: stays.has(topId) ? 'must not be moved: repair first' : DUE_WORDS[look.state],
      since: EN.day(look.since),
      until: EN.day(look.windowTo),
      book: records && !stays.has(topId) ? `/tops/${topId}/booking?kind=look` : null,
    })),
    weeks: diary.weeks.map((week) => weekRow(week, records)),
    says: diary.says,
    parts: facts.parts.map(({ label, piece, order, inHand, because }) => ({
      label,
      piece,
      order: EN.number(order),
      inHand: EN.number(inHand),
      because,
    })),
    letterDays: EN.number(letters.days),
    letters: letters.states
      .map(({ state, n }) => `${EN.number(n)} ${LETTER_WORDS[state] ?? state}`)
      .join(', '),
    faults: [
      ...letters.setAside.map(({ name, at, reason }) => ({
        what: `No letters to ${name}: a record cannot be read`,
        when: when(at),
        fault: `${reason}. Look at the owner, the cars and their settings and put right what is odd.`,
        fate: null,
      })),
      ...letters.faults.map(({ id, kind, state, toName, plannedAt, nextTryAt, fault }) => ({
        what: `${words(kind)} to ${toName}, ${LETTER_WORDS[state] ?? state}`,
        when: when(plannedAt),
        fault,
        fate:
          records && state === 'unknown' && nextTryAt === null
            ? formOf(`/letters/${id}/fate`, once, null, [])
            : null,
      })),
    ],
    alerts: standing.alerts.map((alert) => ({ when: when(alert.at), words: alert.words })),
    unreached: standing.items.map(({ ownerId, ...one }) => ({
      ...one,
      href: `/owners/${ownerId}`,
    })),
  };
  return [{ lang: 'en', title: 'Today', nav: { here: 'today' } }, model];
}

const DONE: Readonly<Record<string, string>> = {
  'send-again': 'It is sent once more within a minute, if it is still true.',
  arrived: 'Noted that it arrived.',
  call: 'The call is noted; the car comes later in the list for a while.',
  offers: 'The offers are made. Their letters leave in letter hours.',
};

function deedFor({ repairOn, refusesCalls }: TodayFacts['staying'][number]): string {
  if (repairOn !== null)
    return `Repair booked for ${EN.day(repairOn)}. Until then it stays as it is.`;
  return refusesCalls
    ? 'The owner wants no calls: write, and agree on a day for the repair.'
    : 'Ring: it must stay as it is. Agree on a day for the repair.';
}

function foldedRow(
  car: TodayFacts['folded'][number],
  now: Instant,
): TodayModel['folded'][number][] {
  const seen = { timeZone: car.timeZone, now, restHours: 0 };
  const { left } = clockWords(car.clock, seen, voiceFor('en'));
  if (left === null || left.state === 'within') return [];
  return [
    {
      ...person(car),
      href: `/cars/${car.carId}`,
      registration: car.registration,
      state: left.state,
      figure: left.figure,
      until: left.until,
      care: shopStay(car.registration, car.clock.mayMove).care,
    },
  ];
}

function weekRow(
  week: TodayFacts['diary']['weeks'][number],
  records: boolean,
): TodayModel['weeks'][number] {
  const { id, monday, openDays, capacityPlaces, bookedPlaces, offeredPlaces } = week;
  const number = Number(id.slice(-2));
  const offered = offeredPlaces > 0 ? `, ${offeredPlaces} more offered` : '';
  return {
    heading: `Week ${number}, ${EN.span(monday, addDays(monday, 6))}`,
    room:
      openDays.length === 0
        ? 'Closed.'
        : `${bookedPlaces} of ${capacityPlaces} half hours booked${offered}.`,
    visits: week.visits.map(({ visitId, topId, registration, ownerName, kind, on, minutes }) => ({
      href: records ? `/visits/${visitId}` : `/tops/${topId}`,
      words: `${registration}, ${ownerName}: ${words(kind)}, ${minutes} minutes`,
      day: EN.day(on),
    })),
  };
}

function person({ ownerName, phone }: { ownerName: string; phone: string | null }): Person {
  const digits = phone?.replaceAll(/[^\d+]/g, '') ?? '';
  return {
    ownerName,
    phone: phone === null ? null : unbroken(phone),
    dial: digits.length < 3 ? null : `tel:${digits}`,
  };
}

function words(name: string): string {
  return name.replaceAll('-', ' ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly today: TodayModel;
  }
}
