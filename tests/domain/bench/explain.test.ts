import { expect, test } from 'vitest';
import { explainPlan } from '../../../src/domain/bench/explain.ts';
import { planBench } from '../../../src/domain/bench/plan.ts';

const weeks = [1, 2].map((id) => ({ id, capacity: 1 }));

function visit(id: string, earliest: number, latest: number) {
  return { id, places: 1, earliest, latest };
}

test('a plan that fits says that nobody is left over', () => {
  const plan = planBench({ weeks, visits: [visit('a', 1, 2)] });
  expect(explainPlan(plan, [1, 2])).toEqual(['1 of 1 visit in their windows; no plan has more.']);
});

test('late visits, visits without a week and jams have their lines', () => {
  const visits = [visit('a', 1, 1), visit('b', 1, 1), visit('c', 1, 1), visit('d', 3, 4)];
  expect(explainPlan(planBench({ weeks, visits }), [1, 2])).toEqual([
    '1 of 4 visits in their windows; no plan has more.',
    '1 visit outside their windows, 1 week late in all.',
    'No room from their windows on: c.',
    'Due behind the last week: d.',
    'week 1: 3 visits must fit, room for 1.',
  ]);
});

test('a week booked over what it has is named', () => {
  const booked = [
    { ...visit('a', 1, 2), fixed: 1 },
    { ...visit('b', 1, 2), fixed: 1 },
  ];
  expect(explainPlan(planBench({ weeks, visits: booked }), [1, 2])).toEqual([
    '2 of 2 visits in their windows; no plan has more.',
    'Week 1: 2 half hours are booked, there are 1.',
  ]);
});
