import { createRequire } from 'node:module';
import type { Highs } from 'highs';
import { planBench } from '../src/domain/bench/plan.ts';
import type { BenchPlan } from '../src/domain/bench/plan.ts';
import type { Measured } from './measure.ts';
import { best } from './measure.ts';

const WEEKS = 104;
const VISITS = 10_000;
const PLACES = 4;

interface Visit {
  readonly id: number;
  readonly places: number;
  readonly earliest: number;
  readonly latest: number;
  readonly offered?: number;
}

interface Instance {
  readonly weeks: { readonly id: number; readonly capacity: number }[];
  readonly visits: Visit[];
}

/** Not in the window, nowhere at all, weeks late, changed offers: least first, in strict order. */
type Score = readonly [number, number, number, number];

/**
 * The bench of two years with 10,000 visits, more than fit: all goals against HiGHS, which solves
 * them one after the other over the same visits. HiGHS gets visits that are alike as one row, the
 * form that is easiest for it: one row per visit takes it many times longer.
 */
export async function run(): Promise<Measured[]> {
  const instance = season();
  const own = await best(5, () => planBench(instance));
  const score = scoreOf(planBench(instance), instance.visits);
  const highs = await loadHighs();
  const start = performance.now();
  const optimum = solve(highs, instance);
  const general = performance.now() - start;
  if (optimum.join() !== score.join()) {
    throw new Error(
      `The optima differ: ${score.join(', ')} against ${optimum.join(', ')} by HiGHS`,
    );
  }
  return [{ name: 'bench-load-highs', ratio: general / own, goal: '>= 50' }];
}

function loadHighs(): Promise<Highs> {
  // The types of the package describe its CommonJS build alone.
  const load: () => Promise<Highs> = createRequire(import.meta.url)('highs');
  return load();
}

/** Two years with crowded springs, autumns and shut weeks; three in five visits were offered. */
function season(): Instance {
  let state = 1;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const weeks = Array.from({ length: WEEKS }, (_, id) => {
    const summer = id % 52 > 17 && id % 52 < 35;
    const shut = id % 13 === 0 ? 0.6 : 1;
    return { id, capacity: Math.floor(392 * (summer ? 0.85 : 0.95) * shut) };
  });
  const visits = Array.from({ length: VISITS }, (_, id) => {
    const year = random() < 0.5 ? 0 : 52;
    const due = year + Math.floor(random() < 0.5 ? 8 + random() * 16 : random() * 52);
    const earliest = Math.max(0, due - 4);
    const latest = Math.min(WEEKS - 1, due + 3);
    const window = { id, places: PLACES, earliest, latest };
    if (random() >= 0.6) return window;
    return { ...window, offered: earliest + Math.floor(random() * (latest - earliest + 1)) };
  });
  return { weeks, visits };
}

function scoreOf(plan: BenchPlan, visits: readonly Visit[]): Score {
  const at = new Map([...plan.placed, ...plan.outside].map(({ id, week }) => [id, week]));
  const changed = visits.filter(
    (visit) => (visit.offered ?? at.get(visit.id)) !== at.get(visit.id),
  );
  return [
    plan.outside.length + plan.unplaced.length,
    plan.unplaced.length,
    plan.outside.reduce((sum, visit) => sum + visit.latenessWeeks, 0),
    changed.length,
  ];
}

/** The four goals as linear programs in turn, each optimum kept as a row of the next. */
function solve(highs: Highs, { weeks, visits }: Instance): number[] {
  const alike = new Map<string, { visit: Visit; count: number }>();
  for (const visit of visits) {
    const key = `${visit.earliest} ${visit.latest} ${visit.offered}`;
    alike.set(key, { visit, count: (alike.get(key)?.count ?? 0) + 1 });
  }
  const rows = [...alike.values()];
  const starts = [0];
  const indices: number[] = [];
  const goals: [number[], number[], number[], number[]] = [[], [], [], []];
  for (const [row, { visit }] of rows.entries()) {
    for (let week = visit.earliest; week <= WEEKS; week += 1) {
      indices.push(row);
      if (week < WEEKS) indices.push(rows.length + week);
      starts.push(indices.length);
      goals[0].push(week > visit.latest ? 1 : 0);
      goals[1].push(week === WEEKS ? 1 : 0);
      goals[2].push(week < WEEKS ? Math.max(0, week - visit.latest) : 0);
      goals[3].push((visit.offered ?? week) === week ? 0 : 1);
    }
  }
  const numCols = starts.length - 1;
  const numRows = rows.length + WEEKS;
  const counts = rows.map(({ count }) => count);
  const room = weeks.map(({ capacity }) => Math.floor(capacity / PLACES));
  const model = highs.createModel({
    numCols,
    numRows,
    colCost: goals[0],
    colLower: new Float64Array(numCols),
    colUpper: new Float64Array(numCols).fill(highs.infinity),
    rowLower: Float64Array.from([...counts, ...room.map(() => 0)]),
    rowUpper: Float64Array.from([...counts, ...room]),
    matrix: {
      format: 'csc',
      numRows,
      numCols,
      starts,
      indices,
      values: indices.map(() => 1),
    },
  });
  try {
    model.options.set({ output_flag: false });
    return goals.map((goal) => {
      for (const [column, cost] of goal.entries()) model.changeColCost(column, cost);
      model.run();
      const least = Math.round(model.getObjectiveValue());
      const used = [...goal.entries()].filter(([, cost]) => cost !== 0);
      model.addRow(-highs.infinity, least, {
        indices: used.map(([column]) => column),
        values: used.map(([, cost]) => cost),
      });
      return least;
    });
  } finally {
    model.dispose();
  }
}
