import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { jointWords } from '../frame/finding-words.ts';
import { type JointPlot, jointPlot, type JointReadings } from './joint-plot.ts';

type Pivot = TopPageRecord['pivots']['items'][number];

/** The readings of a joint as a drawing, with the table behind it. */
export interface JointChart {
  readonly plot: JointPlot;
  readonly label: string;
  readonly caption: string;
  readonly rows: readonly { readonly day: string; readonly mm: string }[];
  readonly days: readonly { readonly limit: string; readonly words: string }[];
}

/** Null where there are not two readings to draw. */
export function chartOf(pivot: Pivot, voice: Voice): JointChart | null {
  const { say, locale } = voice;
  const { code, method, limits, planOn, actOn, trend, sentence } = pivot;
  const readings = pivot.series.filter((reading) => reading.method === method);
  if (limits === null || method === null || readings.length < 2) return null;
  const days = [
    { limit: limits.planOver, on: planOn },
    { limit: limits.actOver, on: actOn },
  ].flatMap(({ limit, on }) =>
    limit === null || on === null
      ? []
      : [
          {
            limit: say('top.picture.limit', { mm: locale.number(limit) }),
            words: betweenDays(on, voice),
          },
        ],
  );
  return {
    plot: jointPlot({ readings, line: trend, limits, planOn, actOn }),
    label: say('top.picture.label', { sentence: voice.tell(sentence) }),
    caption: say(`top.picture.${method}`, { joint: jointWords(voice, code) }),
    rows: readings.map(({ doneOn, mm }) => ({
      day: voice.day(doneOn),
      mm: locale.hundredths(mm),
    })),
    days,
  };
}

function betweenDays(
  { earliest, likely, latest }: NonNullable<JointReadings['planOn']>,
  { say, day }: Voice,
): string {
  const fills = { likely: day(likely), earliest: day(earliest) };
  return latest === null
    ? say('top.picture.days.open', fills)
    : say('top.picture.days', { ...fills, latest: day(latest) });
}
