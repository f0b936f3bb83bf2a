import type { LifeGroupRecord } from '../../../usecases/tops/washer-lives.ts';
import { tenth } from '../frame/plot.ts';

const LEFT = 44;
const RIGHT = 352;
const TOP = 12;
const FOOT = 180;
const YEAR_DAYS = 365.25;

/** A plot of washers left by years since fitting, in the units of a field of 360 × 214. */
export interface LifePlot {
  /** Outline of the range of the fitted curve; empty where there is none. */
  readonly band: string;
  /** The fitted curve; empty where there is no fit. */
  readonly fit: string;
  /** What the visits show: a level line wherever the share left is known. */
  readonly known: string;
  /** Stretches in which washers went, nobody saw when. */
  readonly unknown: readonly {
    readonly x: string;
    readonly y: string;
    readonly width: string;
    readonly height: string;
  }[];
  readonly years: readonly { readonly x: string; readonly word: string }[];
  readonly shares: readonly { readonly y: string; readonly word: string }[];
}

/** Draws the curves of one group. */
export function lifePlot({ steps, band }: Pick<LifeGroupRecord, 'steps' | 'band'>): LifePlot {
  const last = steps.reduce((most, { after, by }) => Math.max(most, by ?? after), 0);
  const days = Math.max(YEAR_DAYS, last);
  const x = (day: number) => tenth(LEFT + ((RIGHT - LEFT) * Math.min(day, days)) / days);
  const y = (share: number) => tenth(FOOT - (FOOT - TOP) * share);
  const shown = [
    { time: 0, survival: 1, low: 1, high: 1 },
    ...band.filter(({ time }) => time <= days),
  ];
  const line = (points: readonly { time: number; share: number }[]) =>
    points.map(({ time, share }, i) => `${i === 0 ? 'M' : 'L'}${x(time)} ${y(share)}`).join('');
  const upper = shown.flatMap(({ time, high }) => (high === null ? [] : [{ time, share: high }]));
  const lower = shown.flatMap(({ time, low }) => (low === null ? [] : [{ time, share: low }]));
  const hasBand = band.some(({ low }) => low !== null);
  let known = `M${x(0)} ${y(1)}`;
  let left = 1;
  const unknown: LifePlot['unknown'][number][] = [];
  for (const { after, by, survival } of steps) {
    known += `H${x(after)}`;
    if (by === null) break;
    unknown.push({
      x: x(after),
      y: y(left),
      width: tenth(Number(x(by)) - Number(x(after))),
      height: tenth(Number(y(survival)) - Number(y(left))),
    });
    known += `M${x(by)} ${y(survival)}`;
    left = survival;
  }
  const stride = Math.max(1, Math.ceil(days / YEAR_DAYS / 8));
  const count = Math.floor(days / YEAR_DAYS / stride);
  return {
    band: hasBand ? `${line(upper)}${line(lower.toReversed()).replace('M', 'L')}Z` : '',
    fit: band.length === 0 ? '' : line(shown.map(({ time, survival: share }) => ({ time, share }))),
    known,
    unknown,
    years: Array.from({ length: count + 1 }, (_, i) => ({
      x: x(i * stride * YEAR_DAYS),
      word: String(i * stride),
    })),
    shares: [0, 0.5, 1].map((share) => ({ y: y(share), word: `${share * 100} %` })),
  };
}
