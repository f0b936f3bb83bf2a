import { describe, expect, it } from 'vitest';
import { tryRule } from './try-rule.ts';

const wordsOf = async (name: string, input: unknown) =>
  (await tryRule(name, input, '--explain')).err.split('\n');
const refusalOf = async (name: string, input: unknown) => (await tryRule(name, input)).err;
const lives = (...times: readonly (readonly [number, boolean])[]) => ({
  observations: times.map(([time, event]) => ({ time, event })),
});

describe('weibull', () => {
  // Fitted and profiled with scipy 1.17.1: shape 2.395, 95 % range 0.975 to 4.525; the shape alone
  // would say that they wear out.
  it('says nothing of age while the range of the shape holds 1', async () => {
    const five = [5, 5, 5, 5, 5].map((time) => [time, true] as const);
    const three = [9, 9, 9].map((time) => [time, false] as const);
    const words = await wordsOf('weibull', lives(...five, ...three));
    expect(words[1]).toBe(
      'shape 2.395 (95 %: 0.975 to 4.525): the range holds 1, so whether age matters cannot be told yet',
    );
    expect(words[2]).toBe('63.2 % have failed by 8.38755');
  });

  // The failures of NIST/SEMATECH e-Handbook 8.4.1.3 alone, and decades; ranges of the shape by profile
  // likelihood with scipy 1.17.1: 1.67 to 4.99 and 0.14 to 0.49.
  it('says that parts wear out, or fail early, where the range says so', async () => {
    const failed = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];
    const worn = failed.map((time) => [time, true] as const);
    expect((await wordsOf('weibull', lives(...worn)))[1]).toContain('they wear out');
    const early = [1, 10, 100, 1e3, 1e4, 1e5].map((time) => [time, true] as const);
    expect((await wordsOf('weibull', lives(...early)))[1]).toContain('they fail early');
  });
});

describe('survival', () => {
  it('says nothing of half where no life was given, and where none failed', async () => {
    expect(await wordsOf('survival', lives())).toEqual(['no life was given: nothing can be said']);
    expect(await wordsOf('survival', lives([5, false]))).toEqual([
      'none failed: all were still sound when they were last seen',
    ]);
  });

  // Kaplan & Meier (1958) and Greenwood by hand: 2 of 4 failed, √(0.5² × 2/(4 × 2)) = 0.25.
  it('names the middle and the error of each step', async () => {
    const words = await wordsOf('survival', lives([3, true], [3, true], [7, true], [7, true]));
    expect(words).toEqual([
      'at 3: 2 of 4 failed, 50.0 % are left, give or take 25.0 (standard error)',
      'at 7: 2 of 2 failed, 0.0 % are left',
      'the first time at which half or fewer are left: 3',
    ]);
    const few = await wordsOf('survival', lives([3, true], [9, false], [9, false]));
    expect(few[1]).toBe('more than half are left at the last failure: no middle can be named');
  });

  it('asks for true or false', async () => {
    const odd = { observations: [{ time: 1, event: 'yes' }] };
    expect(await refusalOf('survival', odd)).toBe(
      '#/observations/0/event: Give true where it failed then, false where it was still sound.',
    );
  });
});

describe('interval-life', () => {
  it('does not say that none are left of those that outlived every look', async () => {
    const words = await wordsOf('interval-life', {
      lives: [
        { after: 0, by: 4 },
        { after: 5, by: null },
      ],
    });
    expect(words.slice(0, 2)).toEqual([
      '50.0 % end after 0, by 4; 50.0 % are left',
      '50.0 % outlive 5: how long is not known',
    ]);
  });

  it('asks for the time of the loss, or null', async () => {
    expect(await refusalOf('interval-life', { lives: [{ after: 1 }] })).toBe(
      '#/lives/0/by: Give the time at which it was found lost, or null where it was still sound.',
    );
  });
});

describe('parts', () => {
  it.each([
    [{ chances: [] }, 'none needs to be in stock'],
    [{ chances: [0.01, 0.02] }, 'none needs to be in stock'],
    [{ chances: [0.5] }, '1 is enough with a chance of at least 0.95; one fewer is not'],
    [{ chances: [1, 1] }, '2 are enough with a chance of at least 0.95; one fewer is not'],
  ])('%j: %s', async (input, words) => {
    expect((await wordsOf('parts', input))[1]).toContain(words);
  });
});

describe('corrosion', () => {
  // ISO 9223:2012 Table 2 ends at 700 µm/a (published, secondary copy); the formula gives 479.1 here,
  // and half as much again is 718.7.
  it('says where the uncertainty leads past the last class', async () => {
    const words = await wordsOf('corrosion', {
      temperatureC: 28.7,
      humidityPct: 93,
      so2: 150.4,
      chloride: 760.5,
    });
    expect(words[3]).toContain('321.0 to 718.7 µm/a, class CX to above CX (');
  });
});

describe('bench-load', () => {
  const week = { id: 1, capacity: 1 };
  const visit = { id: 'a', places: 1, earliest: 1, latest: 1 };

  it('tells of a week in which more is booked than it has', async () => {
    const input = {
      weeks: [week],
      visits: [
        { ...visit, fixed: 1 },
        { ...visit, id: 'b', fixed: 1 },
      ],
    };
    const { answer, err } = await tryRule('bench-load', input, '--explain');
    expect(answer.overbooked).toEqual([{ week: 1, booked: 2, capacity: 1 }]);
    expect(err).toContain('week 1: 2 half hours are booked, and it has 1');
  });

  it.each([
    [{ weeks: [week, week], visits: [] }, '#/weeks/1/id: Give an id that no other has.'],
    [{ weeks: [week], visits: [visit, visit] }, '#/visits/1/id: Give an id that no other has.'],
    [
      { weeks: [week, { ...week, id: 2 }], visits: [{ ...visit, earliest: 2 }] },
      '#/visits/0/latest: Give a week no earlier than "earliest".',
    ],
    [{ weeks: [], visits: [] }, '#/weeks: Give at least one week.'],
  ])('refuses %j in a whole sentence', async (input, words) => {
    expect(await refusalOf('bench-load', input)).toBe(words);
  });
});

describe('due-days', () => {
  it('finds no fault with the count where the anchor alone is at fault', async () => {
    const err = await refusalOf('due-days', { anchor: '2023-02-29', months: 12, count: 1 });
    expect(err.split('\n')).toEqual([expect.stringMatching(/^#\/anchor: Give a calendar day/)]);
    const none = await refusalOf('due-days', { anchor: '', months: 12, count: 1 });
    expect(none.split('\n')).toHaveLength(1);
  });
});

describe('call-order', () => {
  it.each([[{ faults: ['pivot-arm-bent'] }], [{ mustStay: true }]])(
    'asks nobody to raise a top that must stay, and says so: %j',
    async (facts) => {
      const cars = [{ carId: 'FK 1', foldedOverDays: 9, damp: true, ...facts }];
      const { answer, err } = await tryRule(
        'call-order',
        { today: '2026-12-01', cars },
        '--explain',
      );
      expect(answer.calls).toEqual([]);
      expect(err).toContain('FK 1: first of all, its top must not be moved');
      expect(err).not.toContain('nobody has to be rung');
    },
  );

  it('takes the word that a top may be moved before what was once found on it', async () => {
    const cars = [
      { carId: 'FK 1', foldedOverDays: 9, faults: ['pivot-seized'], mustStay: false },
      { carId: 'FK 2', refusedCalls: true, foldedOverDays: 9 },
    ];
    const { answer } = await tryRule('call-order', { today: '2026-12-01', cars });
    expect(answer.calls.map(({ deed }: { deed: string }) => deed)).toEqual([
      'ring: ask to raise it',
    ]);
  });
});

describe('folded-clock', () => {
  const input = { zone: 'Europe/Berlin', limitDays: 3, at: '2026-12-01T12:00:00Z' };
  const folded = { position: 'folded', at: '2026-11-29T18:00:00Z' };

  it('says why a damp fold has the shorter limit', async () => {
    const words = await wordsOf('folded-clock', {
      ...input,
      entries: [{ ...folded, damp: true }],
    });
    expect(words).toContain(
      'folded damp: one day from then (shop rule) instead of the 3 of the handbook',
    );
    expect(words).toContain('nearing from the beginning, 2026-11-29T18:00:00.000Z; it is over');
  });

  it('says that the moments move on while it is raised', async () => {
    const raised = { position: 'raised', at: '2026-12-01T10:00:00Z' };
    const words = await wordsOf('folded-clock', { ...input, entries: [folded, raised] });
    expect(words).toContain('while it is raised, both of these move on with the clock');
    const still = await wordsOf('folded-clock', { ...input, entries: [folded] });
    expect(still.join()).not.toContain('folded damp');
    expect(still.join()).not.toContain('move on');
  });

  it('tells a top that is laid up from one that is raised', async () => {
    const under = { position: 'folded-under-hard-top', at: '2026-10-01T10:00:00Z' };
    expect(await wordsOf('folded-clock', { ...input, entries: [under] })).toContain(
      'laid up under the hard top: no clock runs there',
    );
    const raised = { position: 'raised', at: '2026-10-01T10:00:00Z' };
    expect(await wordsOf('folded-clock', { ...input, entries: [raised] })).toContain(
      'raised: no stretch runs',
    );
  });
});

describe('second-look', () => {
  const stiff = [{ doneOn: '2026-10-20', state: 'stiff' }];

  it.each([
    [[], '2027-05-01', 'no joint that was stiff or was repaired waits to be looked at again'],
    [stiff, '2026-12-05', 'the oiling due on 2026-12-05 takes the place of the look'],
    [[{ doneOn: '2026-03-01', state: 'stiff' }], '2027-05-01', 'only a call helps'],
  ])('says which of three reasons there is for no look: %j', async (readings, oilDueOn, words) => {
    const input = { readings, oilDueOn, today: '2026-12-01' };
    const { answer, err } = await tryRule('second-look', input, '--explain');
    expect(answer.look).toBeNull();
    expect(err.split('\n')[0]).toContain(words);
  });
});

describe('may-move', () => {
  it('promises no more of a top of which nothing is recorded than that', async () => {
    const { answer, err } = await tryRule('may-move', { today: '2026-12-01' }, '--explain');
    expect(answer.verdict).toBe('free');
    expect(err).toContain('free: nothing that is recorded speaks against moving it as always');
  });
});

describe('fault-finding', () => {
  it('asks for what shows where nothing is seen, rather than to say that no check would help', async () => {
    const words = await wordsOf('fault-finding', { seen: [] });
    expect(words[0]).toBe('nothing is seen: tick what shows first');
  });

  it.each([
    [
      { seen: ['ghosts'] },
      '#/seen/0: "ghosts" is no sign of the list. GET /v1/signs has them all.',
    ],
    [
      { seen: ['dry-crumbs'], ruledOut: ['dry-crumbs'] },
      '#/ruledOut/0: "dry-crumbs" is both seen and ruled out. Leave it in one of the two.',
    ],
  ])('refuses one sign in the words for one: %j', async (input, words) => {
    expect(await refusalOf('fault-finding', input)).toContain(words);
  });
});
