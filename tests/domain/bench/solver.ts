import { createRequire } from 'node:module';
import type { Highs } from 'highs';
import type { Instance } from './oracle.ts';

// The types of both packages describe their CommonJS builds alone.
const require = createRequire(import.meta.url);
const loadHighs: () => Promise<Highs> = require('highs');
const lpSolver: { Solve: (model: object) => unknown } = require('javascript-lp-solver');

let highs: Highs | undefined;

/** Most visits in their windows by HiGHS: whole visits, or shares of them where `relaxed`. */
export async function mostByHighs(instance: Instance, relaxed = false): Promise<number> {
  const names = pairsOf(instance);
  if (names.length === 0) return 0;
  highs ??= await loadHighs();
  const rows = [
    ...instance.visits.flatMap((visit) => {
      const own = names.filter((pair) => pair.id === visit.id).map((pair) => pair.name);
      return own.length > 0 ? [`${own.join(' + ')} <= 1`] : [];
    }),
    ...instance.weeks.flatMap((week) => {
      const own = names.filter((pair) => pair.week === week.id);
      const sum = own.map((pair) => `${pair.places} ${pair.name}`).join(' + ');
      return own.length > 0 ? [`${sum} <= ${week.capacity}`] : [];
    }),
  ];
  const all = names.map((pair) => pair.name);
  const whole = relaxed ? '' : `Generals\n ${all.join(' ')}\n`;
  const model = `Maximize\n ${all.join(' + ')}\nSubject To\n ${rows.join('\n ')}\n${whole}End`;
  return highs.solve(model, { output_flag: false }).ObjectiveValue;
}

/** The same by javascript-lp-solver, over whole visits. */
export function mostByLpSolver(instance: Instance): number {
  const constraints: Record<string, { max: number }> = {};
  for (const visit of instance.visits) constraints[String(visit.id)] = { max: 1 };
  for (const week of instance.weeks) constraints[`week${week.id}`] = { max: week.capacity };
  const variables: Record<string, Record<string, number>> = {};
  const ints: Record<string, 1> = {};
  for (const { name, id, week, places } of pairsOf(instance)) {
    variables[name] = { count: 1, [String(id)]: 1, [`week${week}`]: places };
    ints[name] = 1;
  }
  const answer = lpSolver.Solve({ optimize: 'count', opType: 'max', constraints, variables, ints });
  if (typeof answer === 'object' && answer !== null && 'result' in answer) {
    return Number(answer.result);
  }
  throw new Error('The solver gave no result');
}

function pairsOf(instance: Instance) {
  return instance.visits.flatMap((visit, v) =>
    instance.weeks
      .filter((week) => visit.earliest <= Number(week.id) && Number(week.id) <= visit.latest)
      .map((week) => ({
        name: `x${v}_${week.id}`,
        id: visit.id,
        week: week.id,
        places: visit.places,
      })),
  );
}
