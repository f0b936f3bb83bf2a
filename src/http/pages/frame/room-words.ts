import type { Day } from '../../../domain/calendar/day.ts';
import { addDays } from '../../../domain/calendar/day.ts';
import type { RoomyWeekRecord } from '../../../usecases/bench/weeks-with-room.ts';
import type { Voice } from '../../../views/words/voice.ts';

export interface WeekModel {
  readonly id: string;
  readonly words: string;
  readonly room: string;
  readonly best: boolean;
}

const PLACES_AN_HOUR = 2;

/** Weeks as buttons: "Week 25, 15–21 Jun" and the hours that are free. */
export function weekModels(weeks: readonly RoomyWeekRecord[], voice: Voice): WeekModel[] {
  return weeks.map(({ id, monday, roomPlaces, best }) => ({
    id,
    words: weekInWords(id, monday, voice),
    room: voice.say(best ? 'week.room.best' : 'week.room', {
      hours: voice.locale.number(roomPlaces / PLACES_AN_HOUR),
    }),
    best,
  }));
}

/** "Week 25, 15–21 Jun": weeks that are spoken of lie near, so the year goes without saying. */
export function weekInWords(id: string, monday: Day, { say, locale }: Voice): string {
  const days = locale.shortSpan(monday, addDays(monday, 6));
  return say('week.label', { week: String(Number(id.slice(-2))), days });
}
