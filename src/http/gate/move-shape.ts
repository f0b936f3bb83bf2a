import { z } from 'zod';
import { MOVE_HOWS, MOVE_SIGNS, MOVE_VERDICTS } from '../../domain/may-move/move-verdict.ts';

/** Whether a top may be moved, as the API says it. */
export const mayMoveShape = z
  .object({
    verdict: z.enum(MOVE_VERDICTS).meta({
      description: 'free; with-care: only as `how` says; leave: do not raise, fold or work it.',
    }),
    reasons: z.array(
      z.object({
        verdict: z.enum(MOVE_VERDICTS),
        sign: z.enum(MOVE_SIGNS),
        pivot: z.string().nullable(),
        fault: z.string().nullable(),
        on: z.string(),
        words: z.string(),
      }),
    ),
    how: z
      .array(z.enum(MOVE_HOWS))
      .meta({ description: 'How it is moved with care, in the order to be said; else empty.' }),
    repairOn: z.string().nullable().meta({ description: 'The day for which a repair is booked.' }),
  })
  .meta({ id: 'MayMove', description: 'Whether the top may be moved today, and why not.' });
