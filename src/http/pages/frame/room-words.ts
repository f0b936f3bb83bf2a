import type { Day } from '../../../domain/calendar/day.ts';
import { addDays } from '../../../domain/calendar/day.ts';
import type { RoomyWeekRecord } from '../../../usecases/bench/weeks-with-room.ts';
import { localeOf } from '../../../views/words/locale.ts';

export interface WeekModel {
  readonly id: string;
  readonly words: string;
  readonly room: string;
  readonly best: boolean;
}

const EN = localeOf('en-GB');
const DAYS = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' });
const PLACES_AN_HOUR = 2;

/** Weeks as buttons: "Week 25, 15–21 Jun" and the hours that are free. */
export function weekModels(weeks: readonly RoomyWeekRecord[]): WeekModel[] {
  return weeks.map(({ id, monday, roomPlaces, best }) => ({
    id,
    words: weekInWords(id, monday),
    room: `${EN.number(roomPlaces / PLACES_AN_HOUR)} h free${best ? ', suits its oil' : ''}`,
    best,
  }));
}

/** "Week 25, 15–21 Jun": weeks that are spoken of lie near, so the year goes without saying. */
export function weekInWords(id: string, monday: Day): string {
  const [from, to] = [monday, addDays(monday, 6)].map((day) => new Date(`${day}T00:00:00Z`));
  return `Week ${Number(id.slice(-2))}, ${DAYS.formatRange(from ?? 0, to ?? 0)}`;
}
