import { z } from 'zod';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { PIVOT_KINDS, pivotInWords } from '../../domain/pivots/frame-patterns.ts';
import { pivotReport } from '../../domain/pivots/pivot-report.ts';
import { METHODS } from '../../domain/pivots/series.ts';
import type { Method } from '../../domain/pivots/series.ts';
import { wearPools } from '../../domain/pivots/wear-pool.ts';
import { isRefused } from '../../domain/pivots/trend.ts';
import { day } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const MOST_READINGS = 200;
const MOST_JOINTS = 2000;
/** Any joint: what it is called bears on nothing. */
const CODE = 'L-LINK1';

const readings = z
  .array(z.strictObject({ on: day, mm: z.number().min(0, 'Play cannot be negative.').max(100) }))
  .max(MOST_READINGS);

export const wear: Rule = {
  name: 'wear',
  does: 'The day a joint meets the limits of play, pooled with joints of its kind and pattern on other cars, with a 90 % interval.',
  takes:
    '{method: "axial" | "radial", readings: [{on, mm}], washersSeenOn?: [days on which all washers were in place and no gap was measured], pool?: [{car?, readings: [{on, mm}]}], kind?: "link", washersExpected?: 2, today?: the last reading}',
  gives:
    '{verdict, planOn: {earliest, likely, latest} or null, actOn, pooled, missing: why no day is named, line: the plain check (see trend) or null, measureAgainOn, sentence}',
  figures: ['pivots'],
  trial: trialOf({
    input: z.strictObject({
      method: z.enum(METHODS),
      readings: readings.min(1, 'Give at least one reading.'),
      washersSeenOn: z.array(day).max(MOST_READINGS).default([]),
      pool: z
        .array(z.strictObject({ car: z.string().min(1).optional(), readings }))
        .max(MOST_JOINTS)
        .default([]),
      kind: z.enum(PIVOT_KINDS).default('link'),
      washersExpected: z.int().min(0).max(20).default(2),
      today: day.optional(),
    }),
    answer({ method, readings: own, washersSeenOn, pool, kind, washersExpected, today }, rules) {
      const figures = figuresFor('pivots', rules);
      const lastOn = own.reduce((last, { on }) => (on > last ? on : last), '');
      const at = today ?? lastOn;
      const joint = { code: CODE, kind, washersExpected, states: [], repairs: [] };
      const played = (rows: typeof own) => playedBy(method, rows);
      const others = pool.map(({ car, readings: rows }, i) => ({
        carId: car ?? `joint ${i + 1}`,
        record: { ...joint, readings: played(rows), washers: [] },
      }));
      const washers = washersSeenOn.map((doneOn) => ({ doneOn, present: washersExpected }));
      const report = pivotReport(
        { ...joint, readings: played(own), washers },
        { today: at, figures, priorOf: wearPools(others, at, figures)('') },
      );
      const { verdict, planOn, actOn, measureAgainOn, trend, series, sentence } = report;
      const [lead] = series;
      return {
        verdict,
        planOn,
        actOn,
        pooled: lead?.pooled ?? 0,
        missing: lead?.missing ?? null,
        line: trend === null || isRefused(trend) ? null : trend,
        measureAgainOn,
        sentence: sentence.slice(`${pivotInWords(CODE)}: `.length),
      };
    },
    explain({ planOn, actOn, line, missing, sentence }) {
      const meets = (limit: string, on: typeof planOn) =>
        on === null
          ? []
          : [
              `${limit}: as likely before as after ${on.likely}; nine times in ten between ${on.earliest} and ${on.latest ?? 'a day beyond the horizon'}`,
            ];
      return [
        sentence,
        ...(missing === null ? [] : [`no day: ${missing}`]),
        ...meets('plan', planOn),
        ...meets('act', actOn),
        ...(line === null
          ? []
          : [`plain check: ${line.slope.toFixed(3)} mm a year, p = ${line.p.toFixed(3)}`]),
      ];
    },
  }),
};

function playedBy(method: Method, rows: readonly { readonly on: string; readonly mm: number }[]) {
  return rows.map(({ on, mm }) => ({ doneOn: on, method, mm }));
}
