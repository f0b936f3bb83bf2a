import { z } from 'zod';
import type { Day } from '../../domain/calendar/day.ts';
import { isDay } from '../../domain/calendar/day.ts';
import { faultOf } from '../../domain/faults/fault-rows.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { mayMove as mayMoveRule } from '../../domain/may-move/may-move.ts';
import { MOVE_FINDINGS } from '../../domain/may-move/move-findings.ts';
import { PIVOT_KINDS } from '../../domain/pivots/frame-patterns.ts';
import { METHODS } from '../../domain/pivots/series.ts';
import { PIVOT_STATES } from '../../domain/pivots/state.ts';
import { speakerOf } from '../../views/letters/sheet.ts';
import { howInWords, reasonInWords } from '../../views/letters/stay.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const day = z.string().refine(isDay, 'Give a day as YYYY-MM-DD.');
const mm = z.number().min(0);

const pivot = z.strictObject({
  code: z.string().regex(/^[LR]-[A-Z0-9-]+$/, 'Give a code such as R-MAIN.'),
  kind: z.enum(PIVOT_KINDS),
  washersExpected: z.int().min(0).default(0),
  states: z
    .array(
      z.strictObject({
        doneOn: day,
        state: z.enum(PIVOT_STATES),
        onOiling: z.boolean().optional(),
      }),
    )
    .default([]),
  readings: z.array(z.strictObject({ doneOn: day, method: z.enum(METHODS), mm })).default([]),
  washers: z.array(z.strictObject({ doneOn: day, present: z.int().min(0) })).default([]),
  repairs: z.array(day).default([]),
});
const frame = z.strictObject({
  doneOn: day,
  swayMm: mm.optional(),
  diagonalsMm: z.strictObject({ left: mm, right: mm }).optional(),
  breakawayN: z.number().positive().optional(),
  oneSideLags: z.boolean().optional(),
});
const UNKNOWN_FAULT =
  'No fault of the list has this id: GET /v1/faults has them. Give null for one in own words.';
const finding = z.strictObject({
  fault: z
    .string()
    .refine((id) => faultOf(id) !== undefined, UNKNOWN_FAULT)
    .nullable(),
  pivot: z.string().nullable().default(null),
  on: day,
  visit: z.string().optional(),
});

const MEANS = {
  free: 'nothing that is recorded speaks against moving it as always',
  'with-care': 'it may be moved with care',
  leave: 'do not raise, fold or work it until that is mended',
} as const;

export const mayMove: Rule = {
  name: 'may-move',
  does: 'Whether a top may be moved: free, with care, or to be left as it is until it is mended.',
  takes:
    '{today, fittedOn?, pivots: [{code, kind, washersExpected?, states?, readings?, washers?, repairs?}], frame?, findings?, mended?, powered?, repairsBookedOn?}',
  gives: '{verdict, reasons: [{verdict, sign, pivot, fault, on}], how: [text], repairOn}',
  figures: ['pivots', 'frame'],
  trial: trialOf({
    input: z.strictObject({
      today: day,
      fittedOn: day.optional(),
      pivots: z.array(pivot).default([]),
      frame: z.array(frame).default([]),
      findings: z.array(finding).default([]),
      mended: z.array(finding).default([]),
      powered: z.boolean().optional(),
      repairsBookedOn: z.array(day).default([]),
    }),
    answer: ({ today, fittedOn, ...facts }, own) =>
      mayMoveRule({ ...facts, fittedOn: fittedOn ?? firstRead(facts.frame, today) }, today, {
        pivots: figuresFor('pivots', own),
        frame: figuresFor('frame', own),
      }),
    explain: ({ verdict, reasons, how, repairOn }) => [
      ...reasons.map((reason) => reasonInWords(reason, speakerOf('en'))),
      ...(repairOn === null ? [] : [`a repair is booked for ${repairOn}`]),
      `${verdict}: ${MEANS[verdict]}`,
      ...how.map((one) => howInWords(one, speakerOf('en'), 'desk')),
      `${Object.keys(MOVE_FINDINGS).length} faults of the list speak here; the steps are shop rules`,
    ],
  }),
};

/** Where nobody told when the top was fitted, every reading of the frame is one of this top. */
function firstRead(readings: readonly { readonly doneOn: Day }[], today: Day): Day {
  return readings.reduce((first, { doneOn }) => (doneOn < first ? doneOn : first), today);
}
