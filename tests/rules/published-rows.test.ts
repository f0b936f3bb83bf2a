import { describe, expect, it } from 'vitest';
import { RADIATION_ALONE } from '../domain/statistics/cosmesis.ts';
import { tryRule } from './try-rule.ts';

const answerTo = async (name: string, input: unknown) => {
  const { answer, err, code } = await tryRule(name, input);
  expect({ err, code }).toEqual({ err: '', code: 0 });
  return answer;
};

describe('due-days', () => {
  // RFC 7529 4.3.4 SKIP=BACKWARD, as libical's and rrule-temporal's test data quote it (published,
  // secondary copy); the last from Temporal's documentation, 2019-01-31 + P1M (published).
  it.each([
    ['2012-02-29', 12, ['2013-02-28', '2014-02-28', '2015-02-28', '2016-02-29']],
    ['2014-01-31', 1, ['2014-02-28', '2014-03-31', '2014-04-30']],
    ['2019-01-31', 1, ['2019-02-28']],
  ])('%s every %i months', async (anchor, months, days) => {
    expect(await answerTo('due-days', { anchor, months, count: days.length })).toEqual({ days });
  });
});

describe('corrosion', () => {
  // Computed from the published formula of ISO 9223:2012, 10 and 20 °C on either side of its bend.
  it.each([
    [10, 75, 10, 5, 31.1714, 'C3'],
    [10, 80, 5, 3, 24.4584, 'C2'],
    [20, 80, 5, 300, 121.0392, 'C5'],
    [-5, 70, 5, 1, 2.5883, 'C2'],
  ])(
    '%d °C, %d %%, SO2 %d, Cl %d',
    async (temperatureC, humidityPct, so2, chloride, rate, name) => {
      const answer = await answerTo('corrosion', { temperatureC, humidityPct, so2, chloride });
      expect(answer.micrometresPerYear).toBeCloseTo(rate, 3);
      expect(answer.class).toBe(name);
    },
  );
});

describe('interval', () => {
  // The sum of the rule by hand: 12 × √(37.5 / 140) = 6.2; × 0.75 = 4.7; 12 × √(37.5 / 450) = 3.5.
  it.each([
    [{ place: 'outdoors', salt: 'none', use: 'summer' }, {}, 12],
    [{ place: 'outdoors', salt: 'by-sea', use: 'summer' }, {}, 6],
    [{ place: 'outdoors', salt: 'by-sea', use: 'daily' }, {}, 5],
    [{ place: 'outdoors', salt: 'sea-front', use: 'daily' }, { stiffOrMissing: true }, 3],
    [{ place: 'heated-garage', salt: 'none', use: 'summer' }, { unmovedDays: 61 }, 9],
  ])('%j %j', async (keeping, more, months) => {
    const answer = await answerTo('interval', { keeping, ...more });
    expect(answer.months).toBe(months);
    expect(answer.because[0]).toBe('12 months at most');
  });
});

describe('folded-clock', () => {
  // Computed with Temporal: three calendar days over a change of the clocks are 71 and 73 hours.
  it.each([
    ['Europe/London', '2026-03-28T18:00:00Z', '2026-03-31T17:00:00.000Z'],
    ['Europe/London', '2026-10-24T18:00:00+01:00', '2026-10-27T18:00:00.000Z'],
    ['America/New_York', '2026-03-07T18:00:00-05:00', '2026-03-10T22:00:00.000Z'],
  ])('three days in %s from %s', async (zone, at, overAt) => {
    const entries = [{ position: 'folded', at }];
    const answer = await answerTo('folded-clock', { zone, limitDays: 3, entries, at: overAt });
    expect(answer.stretch).toMatchObject({ overAt, limitDays: 3, state: 'over' });
  });
});

describe('trend', () => {
  // Sen (1968), J. Am. Stat. Assoc. 63, 1379-1389 (published, secondary copy).
  const sen = [
    [1, 9],
    [2, 15],
    [3, 19],
    [4, 20],
    [10, 45],
    [12, 55],
    [18, 78],
  ].map(([x, y]) => ({ x, y }));

  it("gives Sen's own example", async () => {
    const answer = await answerTo('trend', { readings: sen, confidence: 0.93 });
    expect(answer).toMatchObject({ slope: 4, intercept: 4, s: 21, n: 7 });
    expect(answer.low).toBeCloseTo(26 / 7, 12);
    expect(answer.high).toBeCloseTo(35 / 8, 12);
    // Exact two-sided tail of S = 21 over seven readings: 2 / 7!.
    expect(answer.p).toBeCloseTo(2 / 5040, 12);
  });

  it.each([
    [{ readings: [] }, /no readings/],
    [{ readings: sen.slice(0, 2) }, /2 readings, and a trend needs 3/],
    [{ readings: sen.map(({ y }) => ({ x: 1, y })) }, /at the same time/],
    [{ readings: sen, confidence: 1 }, /confidence/],
    // JSON.stringify writes NaN as null; other programs write it bare, or as text.
    [{ readings: [...sen, { x: 19, y: NaN }] }, /reading 8 is not a finite number/],
    ['{"readings": [{"x": 1, "y": -Infinity}]}', /reading 1 is not a finite number/],
    ['{"readings": [{"x": 1e999, "y": 1}]}', /reading 1 is not a finite number/],
    [{ readings: [{ x: 1, y: 'NaN' }] }, /reading 1 is not a finite number/],
  ])('refuses %j', async (input, why) => {
    expect((await answerTo('trend', input)).refused).toMatch(why);
  });
});

describe('bench-load', () => {
  const visits = [
    ['A', 1, 1],
    ['B', 1, 2],
    ['C', 1, 2],
    ['D', 2, 3],
    ['E', 1, 4],
    ['F', 3, 3],
    ['G', 2, 3],
    ['H', 4, 4],
  ].map(([id, earliest, latest]) => ({ id, places: 1, earliest, latest }));
  const weeks = (...capacities: number[]) =>
    capacities.map((capacity, i) => ({ id: i + 1, capacity }));

  it('places all where all fit (own instance; two linear-programming solvers give 8)', async () => {
    const answer = await answerTo('bench-load', { weeks: weeks(2, 2, 2, 2), visits });
    expect(answer.placed).toHaveLength(8);
    expect(answer).toMatchObject({ outside: [], jams: [] });
    expect(answer).not.toHaveProperty('gap');
  });

  it('leaves one out where week 2 has one place, and names the jams (by hand, Hall 1935)', async () => {
    const answer = await answerTo('bench-load', { weeks: weeks(2, 1, 2, 2, 2), visits });
    expect(answer.placed).toHaveLength(7);
    expect(answer.outside).toHaveLength(1);
    expect(answer.jams).toEqual([
      { from: 1, to: 3, need: 6, room: 5 },
      { from: 1, to: 4, need: 8, room: 7 },
    ]);
    const { err } = await tryRule(
      'bench-load',
      { weeks: weeks(2, 1, 2, 2, 2), visits },
      '--explain',
    );
    expect(err).toContain('weeks 1–3: 6 visits must fit, room for 5');
  });

  it('keeps every visit in the answer, and says the gap where lengths are mixed', async () => {
    const mixed = visits.map((visit, i) => ({ ...visit, places: 1 + (i % 2) }));
    const answer = await answerTo('bench-load', { weeks: weeks(2, 1, 2, 2), visits: mixed });
    expect(answer.placed.length + answer.outside.length).toBe(8);
    expect(answer.gap.bound).toBeGreaterThanOrEqual(answer.gap.placed);
    expect(answer.gap.placed).toBe(answer.placed.length);
  });
});

describe('parts', () => {
  it.each([
    // Binomial tails: P(X ≤ 2) for three coins is 1, for P(X ≤ 1) it is 0.5 (by hand).
    [
      { chances: [0.5, 0.5, 0.5], service: 0.5 },
      { expected: 1.5, quantity: 1 },
    ],
    [
      { chances: [0.5, 0.5, 0.5], service: 0.9 },
      { expected: 1.5, quantity: 3 },
    ],
    [
      { chances: [], service: 0.95 },
      { expected: 0, quantity: 0 },
    ],
    [{ chances: [1, 1] }, { expected: 2, quantity: 2 }],
  ])('%j', async (input, answer) => {
    expect(await answerTo('parts', input)).toEqual(answer);
  });
});

describe('wear', () => {
  const readings = [
    { on: '2023-04-20', mm: 0.2 },
    { on: '2024-04-20', mm: 0.31 },
    { on: '2025-04-20', mm: 0.4 },
  ];

  // The trade's worked example (from memory: arithmetic): about spring 2026, could be now, so
  // measure again in 6 months. Slope 0.10 mm a year, spread a year either way.
  it('asks to measure again in six months where the limit may be met by now', async () => {
    const { planOn, line, measureAgainOn, pooled, sentence } = await answerTo('wear', {
      method: 'radial',
      readings,
    });
    expect(line.slope).toBeCloseTo(0.1, 3);
    expect(planOn.earliest).toBe('2025-04-20');
    expect(planOn.likely).toMatch(/^2026/);
    expect(planOn.latest > '2027-04-20').toBe(true);
    expect({ measureAgainOn, pooled }).toEqual({ measureAgainOn: '2025-10-20', pooled: 0 });
    expect(sentence).toMatch(/measure again in 6 months, by 20 October 2025$/);
  });

  it('says what was pooled, and hears a car with two joints as two', async () => {
    const slow = readings.map(({ on }, i) => ({ on, mm: 0.1 + i * 0.03 }));
    const pool = Array.from({ length: 10 }, (_, i) => ({ car: `${i >> 1}`, readings: slow }));
    const alone = await answerTo('wear', { method: 'radial', readings });
    const pooled = await answerTo('wear', { method: 'radial', readings, pool });
    expect(pooled.pooled).toBe(10);
    expect(pooled.sentence).toContain('10 joints of this kind and pattern on other cars');
    expect(pooled.planOn.likely > alone.planOn.likely).toBe(true);
  });

  it('takes a visit that counted all washers as a gap under one of them', async () => {
    const given = { method: 'axial', readings, today: '2035-04-20' };
    const blind = await answerTo('wear', given);
    const seen = await answerTo('wear', { ...given, washersSeenOn: ['2034-04-20'] });
    expect(blind.planOn.likely).toBe('2035-04-20');
    expect(seen.actOn.likely >= blind.actOn.likely).toBe(true);
  });
});

describe('interval-life', () => {
  it('gives the curve and the life of the cosmesis data, and a chance', async () => {
    // Finkelstein & Wolfe (1985), radiation alone (see tests/domain/statistics/cosmesis.ts); the curve
    // from memory, the Weibull life by scipy 1.17.1.
    const { turnbull, weibull, chance } = await answerTo('interval-life', {
      lives: RADIATION_ALONE,
      age: 12,
      horizon: 6,
    });
    expect(turnbull.steps[0]).toMatchObject({ after: 4, by: 5 });
    expect(turnbull.steps[0].share).toBeCloseTo(0.0463, 3);
    expect(weibull).toMatchObject({ events: 21, n: 46, clusters: 46 });
    expect(weibull.shape).toBeCloseTo(1.12161, 4);
    const left = (time: number) => Math.exp(-((time / 57.5131) ** 1.12161));
    expect(chance).toBeCloseTo(1 - left(18) / left(12), 5);
  });

  it('refuses the fit under five losses, with the count', async () => {
    const lives = RADIATION_ALONE.slice(0, 7);
    const { weibull, turnbull } = await answerTo('interval-life', { lives });
    expect(weibull).toEqual({
      refused: '4 of 7 failed; a fit needs at least 5 failures',
      events: 4,
    });
    expect(turnbull.steps.length).toBeGreaterThan(0);
  });
});

describe('survival', () => {
  it('gives the 6-MP curve (Freireich et al. 1963; published with lifelines)', async () => {
    const failed = [6, 6, 6, 7, 10, 13, 16, 22, 23];
    const sound = [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35];
    // The placebo group of the same trial (published); log-rank chi-square 16.8 by lifelines' test.
    const placebo = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23];
    const { steps, median, comparison } = await answerTo('survival', {
      observations: [
        ...failed.map((time) => ({ time, event: true })),
        ...sound.map((time) => ({ time, event: 0 })),
      ],
      against: placebo.map((time) => ({ time, event: true })),
    });
    expect(comparison.chiSquare).toBeCloseTo(16.793, 3);
    expect(median).toBe(23);
    expect(steps).toHaveLength(7);
    expect(steps[0]).toMatchObject({ time: 6, atRisk: 21, events: 3 });
    expect(steps[6].survival).toBeCloseTo(0.448179, 6);
    expect(steps[6].standardError).toBeCloseTo(0.134591, 6);
  });
});

describe('weibull', () => {
  // NIST/SEMATECH e-Handbook 8.4.1.3 (published).
  const failures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];
  const sound = Array.from({ length: 10 }, () => ({ time: 500, event: false }));

  it('gives the worked example of the NIST e-Handbook', async () => {
    const observations = [...failures.map((time) => ({ time, event: true })), ...sound];
    const answer = await answerTo('weibull', { observations });
    expect(answer.shape).toBeCloseTo(1.7208, 4);
    expect(answer.scale).toBeCloseTo(606.528, 2);
    expect(answer.logLikelihood).toBeCloseTo(-75.135, 3);
    expect(answer).toMatchObject({ events: 10, n: 20 });
  });

  it('refuses four failures, with the count', async () => {
    const observations = [...failures.slice(0, 4).map((time) => ({ time, event: true })), ...sound];
    const answer = await answerTo('weibull', { observations });
    expect(answer).toEqual({ refused: expect.stringContaining('4 of 14'), events: 4 });
  });
});

describe('hole', () => {
  // Clearance holes of ISO 273 (published, secondary copy); the steps between them are a shop rule.
  it.each([
    ['M6', [6.9, 6.6], 'watch', { fine: 6.4, medium: 6.6, coarse: 7 }],
    ['M6', [6.6, 6.6], 'good', { fine: 6.4, medium: 6.6, coarse: 7 }],
    ['M6', [7.1, 6.9], 'plan', { fine: 6.4, medium: 6.6, coarse: 7 }],
    ['M8', [11.5, 9], 'act', { fine: 8.4, medium: 9, coarse: 10 }],
  ])('%s %j is %s', async (thread, diametersMm, verdict, limitsMm) => {
    const answer = await answerTo('hole', { thread, diametersMm, use: 'fixing' });
    expect(answer).toMatchObject({ verdict, largestMm: diametersMm[0], limitsMm });
  });
});

describe('fault-finding', () => {
  it('answers the classic wrong sale right: a shrunk cover, not its cables', async () => {
    const answer = await answerTo('fault-finding', {
      seen: ['edge-arched-over-side-glass', 'side-edge-loose'],
    });
    expect(answer.causes[0].id).toBe('cover-shrunk');
    expect(answer.warnings[0]).toContain('Do not sell side cables');
    expect(answer.nextCheck.gainBits).toBeGreaterThan(0);
    expect(answer.mustNot.length).toBeGreaterThan(0);
  });

  it('advises nothing while nothing is seen', async () => {
    const answer = await answerTo('fault-finding', { seen: [] });
    expect(answer).toMatchObject({ causes: [], nextCheck: null, mustNot: [] });
  });
});
