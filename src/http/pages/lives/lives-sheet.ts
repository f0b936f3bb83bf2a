import { patternInWords } from '../frame/pattern-words.ts';
import type { LifeGroupRecord, LifeRecord } from '../../../usecases/tops/washer-lives.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import type { LifePlot } from './life-plot.ts';
import { lifePlot } from './life-plot.ts';

interface Group {
  readonly name: string;
  readonly count: string;
  readonly half: string;
  readonly fit: string;
  readonly plot: LifePlot;
  readonly label: string;
  readonly steps: readonly {
    readonly between: string;
    readonly share: string;
    readonly left: string;
  }[];
  readonly band: readonly {
    readonly at: string;
    readonly left: string;
    readonly range: string;
  }[];
}

export interface LivesModel {
  readonly by: LifeRecord['by'];
  readonly groups: readonly Group[];
  readonly comparison: string;
  readonly note: string;
  readonly because: readonly string[];
}

const YEAR_DAYS = 365.25;
/** Of the quarters of the fitted curve, one a year is put into words. */
const QUARTERS = 4;

/** How long washers last: for each group a plot, what it says in words, and the table behind it. */
export function livesSheet(life: LifeRecord, voice: Voice): [Frame, LivesModel] {
  const { say, tell } = voice;
  const { comparison } = life;
  return [
    { lang: voice.language, title: say('lives.title'), nav: { here: 'tops' } },
    {
      by: life.by,
      groups: life.groups.map((group) => groupOf(group, life.by, voice)),
      comparison:
        comparison === null
          ? ''
          : 'refused' in comparison
            ? say('lives.not-compared', { why: tell(comparison.refused) })
            : `${tell(comparison.words)}.`,
      note: tell(life.note),
      because: life.because.map(tell),
    },
  ];
}

function groupOf(group: LifeGroupRecord, by: LifeRecord['by'], voice: Voice): Group {
  const { say, tell, locale } = voice;
  const age = (days: number) => ageInWords(days, voice);
  const percent = (share: number) => percentOf(share, voice);
  const { washers, failures, setAside, medianBetween, steps, band } = group;
  const name =
    by === 'exposure'
      ? say('lives.class', { group: group.group })
      : patternInWords(group.group, tell);
  const aside = setAside.neverSeen + setAside.goneAtOnce;
  const lost = { failures: String(failures), washers: locale.number(washers) };
  const half =
    medianBetween === null
      ? say('lives.outlived')
      : say('lives.half', { span: spanOf(medianBetween, voice) });
  return {
    name,
    count:
      aside === 0
        ? say('lives.count', lost)
        : say('lives.count.aside', { ...lost, aside: String(aside) }),
    half: washers === 0 ? '' : half,
    fit: fitWords(group, voice),
    plot: lifePlot(group),
    label: say('lives.label', { name, half }),
    steps: steps.map(({ after, by: end, share, survival }) => ({
      between:
        end === null ? say('lives.later', { age: age(after) }) : spanOf({ after, by: end }, voice),
      share: percent(share),
      left: end === null ? say('lives.unknown') : percent(survival),
    })),
    band: band
      .filter((_point, i) => i % QUARTERS === QUARTERS - 1)
      .map(({ time, survival, low, high }) => ({
        at: age(time),
        left: percent(survival),
        range:
          low === null || high === null
            ? say('lives.no-range')
            : say('lives.range', { low: percent(low), high: percent(high) }),
      })),
  };
}

function fitWords({ weibull }: LifeGroupRecord, { say, tell, locale }: Voice): string {
  if ('refused' in weibull) return say('lives.no-fit', { why: tell(weibull.refused) });
  const { shape, shapeLow, shapeHigh, clusters } = weibull;
  if (shapeLow === null || shapeHigh === null) return say('lives.one-car');
  const two = (value: number) => locale.number(Math.round(value * 100) / 100);
  const how = shapeLow > 1 ? 'wear' : shapeHigh < 1 ? 'early' : 'open';
  return say('lives.fit', {
    what: say(`lives.fit.${how}`),
    shape: two(shape),
    low: two(shapeLow),
    high: two(shapeHigh),
    cars: String(clusters),
  });
}

function spanOf({ after, by }: { readonly after: number; readonly by: number }, voice: Voice) {
  return voice.say('lives.span', { from: ageInWords(after, voice), to: ageInWords(by, voice) });
}

/** Days up to half a year, years with one figure after the point from then on. */
function ageInWords(days: number, { count }: Voice): string {
  if (days <= YEAR_DAYS / 2) return count('lives.days', days);
  return count('lives.years', Math.round((days / YEAR_DAYS) * 10) / 10);
}

function percentOf(share: number, { locale }: Voice): string {
  return `${locale.number(Math.round(share * 100))} %`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly lives: LivesModel;
  }
}
