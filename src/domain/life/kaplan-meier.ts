import { eventTimes } from './observation.ts';
import type { Observation } from './observation.ts';

/** The survival curve just after a time at which something failed. */
export interface SurvivalStep {
  readonly time: number;
  readonly atRisk: number;
  readonly events: number;
  readonly survival: number;
  /** Greenwood's error of `survival`. Zero once nothing is left, where the formula has no value. */
  readonly standardError: number;
}

export interface SurvivalCurve {
  /** One step for each time with a failure, earliest first; empty if nothing failed. */
  readonly steps: readonly SurvivalStep[];
  /** First time at which half or fewer are left; null if the curve never comes down so far. */
  readonly median: number | null;
  /**
   * Mean life counted no further than `to`: the area under the curve. Throws RangeError past the
   * longest observation while some are still sound there, since nothing is known beyond.
   */
  readonly restrictedMean: (to: number) => number;
}

/** A product such as 3/4 x 2/3 is a half, though its last digit may say otherwise. */
const HALF = 0.5 + 1e-12;

/**
 * Survival curve of lives of which some are still running (Kaplan & Meier 1958), with Greenwood's
 * error. Throws RangeError if a time is negative or not finite.
 */
export function kaplanMeier(observations: readonly Observation[]): SurvivalCurve {
  const steps: SurvivalStep[] = [];
  let survival = 1;
  let greenwood = 0;
  for (const { time, atRisk, events } of eventTimes(observations)) {
    const left = atRisk - events;
    survival *= left / atRisk;
    greenwood += left === 0 ? 0 : events / (atRisk * left);
    steps.push({
      time,
      atRisk,
      events,
      survival,
      standardError: survival * Math.sqrt(greenwood),
    });
  }
  const longest = observations.reduce((most, { time }) => Math.max(most, time), 0);
  return {
    steps,
    median: steps.find((step) => step.survival <= HALF)?.time ?? null,
    restrictedMean: (to) => areaUnder(steps, longest, to),
  };
}

function areaUnder(steps: readonly SurvivalStep[], longest: number, to: number): number {
  if (!Number.isFinite(to) || to < 0) throw new RangeError('to must be a finite time >= 0');
  if (to > longest && (steps.at(-1)?.survival ?? 1) > 0) {
    throw new RangeError(`to must not pass the longest observation (${longest})`);
  }
  let area = 0;
  let from = 0;
  let height = 1;
  for (const step of steps) {
    if (step.time >= to) break;
    area += height * (step.time - from);
    from = step.time;
    height = step.survival;
  }
  return area + height * (to - from);
}
