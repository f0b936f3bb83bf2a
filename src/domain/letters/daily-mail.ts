import type { FigureTable } from '../figures/figure.ts';

const hour = (value: number, source: string) =>
  ({ value, unit: 'hour of the day', mark: 'shop rule', source }) as const;

/** When the mail of the day to the organisation itself may leave. */
export const DAILY_MAIL_FIGURES = {
  fromHour: hour(6, 'before the bench is manned; nobody published a figure'),
  untilHour: hour(14, 'later the day is half over; nobody published a figure'),
} as const satisfies FigureTable;

/** Whether the mail of the day may leave at a time of day (HH:MM) on the organisation's clock. */
export function isDailyMailHour(time: string): boolean {
  const hours = Number(time.slice(0, 2));
  return DAILY_MAIL_FIGURES.fromHour.value <= hours && hours < DAILY_MAIL_FIGURES.untilHour.value;
}
