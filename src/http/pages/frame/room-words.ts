import type { Day } from '../../../domain/calendar/day.ts';
import { addDays } from '../../../domain/calendar/day.ts';
import { localeOf } from '../../../views/words/locale.ts';

/** A week with what is left of its bench for a visit, in half hours. */
export interface WeekFacts {
  readonly id: string;
  readonly monday: Day;
  readonly roomPlaces: number;
  /** Whether it is one of the weeks that suit the top best. */
  readonly best: boolean;
}

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
export function weekModels(weeks: readonly WeekFacts[]): WeekModel[] {
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
