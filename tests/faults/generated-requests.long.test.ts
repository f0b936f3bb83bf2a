import { expect, it } from 'vitest';
import { crowdedRequests, generatedRequests, REQUESTS_GOALS } from './generated-requests.ts';

it.each(['sqlite', 'postgresql'] as const)(
  'requests made from the description, allowed and forbidden, get no answer of 500 and above (%s)',
  async (dialect) => {
    const report = await generatedRequests(dialect, 500, { seed: 20_261_130 });
    expect(report).toMatchObject(Object.fromEntries(REQUESTS_GOALS.map((name) => [name, 0])));
    expect(report.requests).toBe(500);
    // Deep enough to mean something: many operations are done, not only refused.
    expect(report.done).toBeGreaterThan(report.operations * 0.4);
  },
  240_000,
);

it.each(['sqlite', 'postgresql'] as const)(
  'many who change and remove the same cars at once do not wait in a circle (%s)',
  async (dialect) => {
    const report = await crowdedRequests(dialect, 2_000, { seed: 77 });
    expect(report).toMatchObject(Object.fromEntries(REQUESTS_GOALS.map((name) => [name, 0])));
    expect(report.requests).toBe(2_000);
    expect(report.done).toBeGreaterThan(report.operations * 0.3);
  },
  240_000,
);
