import type { Instant } from '../../domain/calendar/instant.ts';
import { answerEstimate } from '../estimates/answer-estimate.ts';
import type { EstimateRecord } from '../estimates/estimate-records.ts';
import { makeEstimate } from '../estimates/make-estimate.ts';
import { sendEstimate } from '../estimates/send-estimate.ts';
import type { Caller, Context } from '../context/context.ts';
import type { DeskClock, DeskSeed } from './scenario-desk-seeds.ts';

/** An estimate for the work that is open on a car, or its owner's answer. */
export type EstimateHappening = { readonly at: Instant } & (
  | { readonly what: 'estimate'; readonly car: string }
  | { readonly what: 'answer'; readonly car: string; readonly answer: 'accepted' | 'declined' }
);

/** One that waits, one that was accepted, one that was declined. */
export function estimateStory({ estimates }: DeskSeed, clock: DeskClock): EstimateHappening[] {
  return estimates.flatMap(({ car, sentDaysAgo, answer, answeredDaysAgo = 0 }) => [
    { what: 'estimate' as const, at: clock(sentDaysAgo, '16:10'), car },
    ...(answer === undefined
      ? []
      : [{ what: 'answer' as const, at: clock(answeredDaysAgo, '19:40'), car, answer }]),
  ]);
}

/** Makes and sends it; of the letters of those days nobody wants to hear again. */
export async function replayEstimate(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<EstimateRecord> {
  const { id, version } = await makeEstimate(context, caller, carId);
  return sendEstimate(context, caller, id, version, { tell: false });
}

/** The owner's answer to all of it. */
export async function replayAnswer(
  context: Context,
  caller: Caller,
  { id, version, lines }: EstimateRecord,
  answer: 'accepted' | 'declined',
): Promise<void> {
  const wanted = answer === 'accepted' ? lines.filter(({ kind }) => kind === 'work') : [];
  const accepted = new Set(wanted.map((line) => line.id));
  await answerEstimate(context, caller, id, { accepted }, { version, late: false });
}
