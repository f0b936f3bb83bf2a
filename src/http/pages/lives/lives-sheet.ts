import type { LifeGroupRecord, LifeRecord } from '../../../usecases/tops/washer-lives.ts';
import { localeOf } from '../../../views/words/locale.ts';
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

const EN = localeOf('en-GB');
const YEAR_DAYS = 365.25;
/** Of the quarters of the fitted curve, one a year is put into words. */
const QUARTERS = 4;

/** How long washers last: for each group a plot, what it says in words, and the table behind it. */
export function livesSheet(life: LifeRecord): [Frame, LivesModel] {
  const { comparison } = life;
  return [
    { lang: 'en', title: 'How long washers last', nav: { here: 'tops' } },
    {
      by: life.by,
      groups: life.groups.map((group) => groupOf(group, life.by)),
      comparison:
        comparison === null
          ? ''
          : 'refused' in comparison
            ? `The two are not compared: ${comparison.refused}.`
            : `${comparison.words}.`,
      note: life.note,
      because: life.because,
    },
  ];
}

function groupOf(group: LifeGroupRecord, by: LifeRecord['by']): Group {
  const { washers, failures, setAside, medianBetween, steps, band } = group;
  const name = by === 'exposure' ? `Class ${group.group}` : group.group;
  const aside = setAside.neverSeen + setAside.goneAtOnce;
  const half =
    medianBetween === null
      ? 'More than half outlived every visit.'
      : `Half were gone between ${spanOf(medianBetween)} after fitting.`;
  return {
    name,
    count: `${failures} of ${EN.number(washers)} washers were found lost${aside === 0 ? '' : `; ${aside} more say nothing, since nobody looked at them since, or they were gone on the day itself`}.`,
    half: washers === 0 ? '' : half,
    fit: fitWords(group),
    plot: lifePlot(group),
    label: `${name}: share of washers left by years since fitting. ${half}`,
    steps: steps.map(({ after, by: end, share, survival }) => ({
      between: end === null ? `later than ${age(after)}` : spanOf({ after, by: end }),
      share: percent(share),
      left: end === null ? 'not known' : percent(survival),
    })),
    band: band
      .filter((_point, i) => i % QUARTERS === QUARTERS - 1)
      .map(({ time, survival, low, high }) => ({
        at: age(time),
        left: percent(survival),
        range: low === null || high === null ? 'none' : `${percent(low)} to ${percent(high)}`,
      })),
  };
}

function fitWords({ weibull }: LifeGroupRecord): string {
  if ('refused' in weibull) return `No smooth curve: ${weibull.refused}.`;
  const { shape, shapeLow, shapeHigh, clusters } = weibull;
  if (shapeLow === null || shapeHigh === null) {
    return 'The smooth curve has no range: all these washers are of one car.';
  }
  const words =
    shapeLow > 1
      ? 'They wear out: the older, the likelier lost'
      : shapeHigh < 1
        ? 'They are lost early: look at how they are fitted'
        : 'Whether age matters cannot be told yet';
  return `${words} (shape ${two(shape)}, ${two(shapeLow)} to ${two(shapeHigh)}, from ${clusters} cars).`;
}

function spanOf({ after, by }: { readonly after: number; readonly by: number }): string {
  return `${age(after)} and ${age(by)}`;
}

/** Days up to half a year, years with one figure after the point from then on. */
function age(days: number): string {
  if (days <= YEAR_DAYS / 2) return `${days} ${days === 1 ? 'day' : 'days'}`;
  const years = Math.round((days / YEAR_DAYS) * 10) / 10;
  return `${EN.number(years)} ${years === 1 ? 'year' : 'years'}`;
}

function two(value: number): string {
  return EN.number(Math.round(value * 100) / 100);
}

function percent(share: number): string {
  return `${EN.number(Math.round(share * 100))} %`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly lives: LivesModel;
  }
}
