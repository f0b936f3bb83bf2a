import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { bandOf } from '../../domain/life/interval-life.ts';
import type { BandPoint, IntervalFit } from '../../domain/life/interval-life.ts';
import type { LifeComparison } from '../../domain/life/compare-lives.ts';
import type { LogRankRefusal } from '../../domain/life/log-rank.ts';
import { ObservedLives, washerLife } from '../../domain/life/washer-life.ts';
import type { WeibullRefusal } from '../../domain/life/weibull.ts';
import type { TurnbullStep } from '../../domain/statistics/turnbull.ts';
import type { Caller, Context } from '../context/context.ts';
import { othersFirst } from '../context/turns.ts';
import { eachJoint } from './joint-facts.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

export const LIFE_GROUPS = ['pattern', 'exposure'] as const;
export type LifeGroups = (typeof LIFE_GROUPS)[number];

export interface LifeGroupRecord {
  readonly group: string;
  readonly washers: number;
  readonly failures: number;
  readonly setAside: { readonly neverSeen: number; readonly goneAtOnce: number };
  /** Turnbull's curve, in days since fitting. */
  readonly steps: TurnbullStep[];
  readonly medianBetween: { readonly after: number; readonly by: number } | null;
  readonly weibull: IntervalFit | WeibullRefusal;
  /** The fitted curve with its range, quarter by quarter; empty where no fit was made. */
  readonly band: BandPoint[];
  readonly gapDays: number | null;
}

export interface LifeRecord {
  readonly part: 'washer';
  readonly by: LifeGroups;
  readonly groups: LifeGroupRecord[];
  readonly comparison:
    | { readonly chiSquare: number; readonly p: number; readonly words: string }
    | LogRankRefusal
    | null;
  readonly note: string;
  readonly because: string[];
}

/**
 * How long spacer washers last, from the organisation's own records, by frame pattern or by exposure
 * class. Where there are exactly two groups they are compared.
 */
export async function washerLives(
  context: Context,
  caller: Caller,
  by: LifeGroups,
): Promise<LifeRecord> {
  const { sql } = context.store;
  const own = await ownFiguresOf(sql, caller.organisationId);
  const values = figuresFor('life', own);
  const lives = new ObservedLives(by);
  for await (const { washerRecords } of eachJoint(sql, caller.organisationId)) {
    lives.add(washerRecords);
  }
  await othersFirst();
  const life = washerLife(lives, values);
  const [first, second] = life.groups;
  return {
    part: 'washer',
    by,
    groups: life.groups.map((group) => ({
      ...group,
      setAside: { ...group.setAside },
      steps: [...group.steps],
      band: 'refused' in group.weibull ? [] : bandOf(group.weibull, quarters(group.steps), values),
    })),
    comparison: compared(life.comparison, [first?.group ?? '', second?.group ?? '']),
    note: life.note,
    because: [
      `shop rule: no Weibull fit under ${values.minFailures} failures`,
      `shop rule: range of the shape, the scale and the curve at ${values.shapeConfidence * 100} % confidence`,
    ],
  };
}

const QUARTER_DAYS = 91;

/** Every quarter of a year up to the last look that the curve rests on. */
function quarters(steps: readonly TurnbullStep[]): number[] {
  const last = steps.reduce((most, { after, by }) => Math.max(most, by ?? after), 0);
  const count = Math.max(1, Math.ceil(last / QUARTER_DAYS));
  return Array.from({ length: count }, (_, i) => (i + 1) * QUARTER_DAYS);
}

function compared(
  comparison: LifeComparison | LogRankRefusal | null,
  names: readonly [string, string],
): LifeRecord['comparison'] {
  if (comparison === null || 'refused' in comparison) return comparison;
  const { chiSquare, p, groups } = comparison;
  const worse = groups[0].observed > groups[0].expected ? 0 : 1;
  const { observed, expected } = groups[worse];
  const words = `${names[worse]}: ${observed} washers lost against ${expected.toFixed(1)} if all lasted alike; chance alone does as much with p = ${p.toFixed(3)}`;
  return { chiSquare, p, words };
}
