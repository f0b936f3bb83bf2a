import { z } from 'zod';
import { DAY_ADVICE, isDay } from '../../domain/calendar/day.ts';
import { parseInstant } from '../../domain/calendar/instant.ts';
import { isZone } from '../../domain/calendar/zone.ts';
import { CLIMATE_BOUNDS } from '../../domain/lubrication/corrosion.ts';

/** More than any honest trial holds; it bounds the work that one call can ask for. */
export const MOST_ROWS = 20_000;

export const day = z.string().refine(isDay, { error: DAY_ADVICE, abort: true });

export const instant = z
  .string()
  .refine(
    (text) => parseInstant(text) !== null,
    'Give an instant with its offset, as 2026-03-28T18:00:00Z.',
  )
  .transform((text) => parseInstant(text) ?? text);

export const zone = z.string().refine(isZone, 'Give an IANA time zone, such as Europe/London.');

const bounded = (what: keyof typeof CLIMATE_BOUNDS, unit: string) => {
  const { min, max } = CLIMATE_BOUNDS[what];
  const words = `Give ${min} to ${max} ${unit}: nothing was measured beyond.`;
  return z.number().min(min, words).max(max, words);
};

/** Means of a year, inside the range that the dose-response function of ISO 9223 was made from. */
export const climate = z.strictObject({
  temperatureC: bounded('temperatureC', '°C'),
  humidityPct: bounded('humidityPct', '%'),
  so2: bounded('so2', 'mg/(m²·d)'),
  chloride: bounded('chloride', 'mg/(m²·d)'),
});

/** Lives under watch: true or 1 for one that failed then, false or 0 for one still sound. */
export const observations = (time: z.ZodType<number>) =>
  z
    .array(
      z.strictObject({
        time,
        event: z.union([z.boolean(), z.literal([0, 1]).transform((event) => event === 1)], {
          error: 'Give true where it failed then, false where it was still sound.',
        }),
      }),
    )
    .max(MOST_ROWS);
