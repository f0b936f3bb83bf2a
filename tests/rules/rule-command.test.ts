import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FIGURE_TABLES, figureNamed } from '../../src/domain/figure-tables/figure-tables.ts';
import { MOVE_FINDINGS } from '../../src/domain/may-move/move-findings.ts';
import { PIVOT_STATES } from '../../src/domain/pivots/state.ts';
import { Refused } from '../../src/domain/refusal.ts';
import { RULES, TRIABLE_RULES } from '../../src/usecases/rules/all-rules.ts';
import type { Trial } from '../../src/usecases/rules/rule.ts';
import { tryRule } from './try-rule.ts';
import { runs } from '../setup/runs.ts';

function outcomeOf(trial: Trial, input: unknown): string {
  try {
    const { answer, words } = trial.run(input);
    const whole = typeof JSON.parse(JSON.stringify(answer)) === 'object' && words.every(Boolean);
    return whole ? 'answered' : 'answered with gaps';
  } catch (fault) {
    return fault instanceof Refused ? 'refused' : `broke: ${String(fault)}`;
  }
}

describe('foldkeep rule', () => {
  it('lists the rules where none is named', async () => {
    const { out, code } = await tryRule(null, '');
    expect(code).toBe(0);
    expect(out.split('\n').map((line) => line.split(' ')[0])).toEqual(
      'may-move call-order due-days corrosion interval second-look folded-clock trend wear bench-load parts survival weibull interval-life hole repair-hole frame fault-finding'.split(
        ' ',
      ),
    );
  });

  it.each([
    ['no-such', {}, 'name: There is no rule "no-such"'],
    ['trend', 'not json', '#: Standard input is not JSON'],
    ['trend', [], '#'],
    [
      'due-days',
      { anchor: '2024-02-29', months: 12, count: 9, x: 1 },
      '#/x: There is no such field',
    ],
    ['due-days', { anchor: '2024-02-29', months: 12, count: 999 }, '#/count: These due days run'],
    ['corrosion', { temperatureC: 40, humidityPct: 75, so2: 10, chloride: 5 }, '#/temperatureC: '],
    ['interval', { keeping: { place: 'moon', salt: 'none', use: 'daily' } }, '#/keeping/place: '],
    [
      'folded-clock',
      { zone: 'Mars', limitDays: 3, entries: [], at: '2026-01-01T00:00:00Z' },
      '#/zone: ',
    ],
    ['trend', { readings: [{ x: 1 }] }, '#/readings/0/y: '],
    ['bench-load', { weeks: [], visits: [] }, '#/weeks: '],
    [
      'bench-load',
      {
        weeks: [{ id: 1, capacity: 1 }],
        visits: [{ id: 'a', places: 0.5, earliest: 1, latest: 1 }],
      },
      '#/visits/0/places: ',
    ],
    ['parts', { chances: [0.2, 1.2], service: 0.9 }, '#/chances/1: '],
    ['parts', { chances: [0.2], service: 1 }, '#/service: '],
    ['survival', { observations: [{ time: -1, event: true }] }, '#/observations/0/time: '],
    ['weibull', { observations: [{ time: 0, event: true }] }, '#/observations/0/time: '],
    ['hole', { thread: 'M7', diametersMm: [7, 7] }, '#/thread: '],
    ['hole', { thread: 'M6', diametersMm: [5.9, 6.1] }, '#/diametersMm: Give each from the pin'],
    ['fault-finding', { seen: ['ghosts'] }, '#/seen/0: "ghosts"'],
    // A finding that nobody knows would else leave the top free to move.
    [
      'may-move',
      { today: '2026-12-01', findings: [{ fault: 'pivot-siezed', on: '2026-11-20' }] },
      '#/findings/0/fault: No fault of the list',
    ],
    [
      'fault-finding',
      { seen: ['side-edge-loose'], ruledOut: ['side-edge-loose'] },
      '#/ruledOut/0: "side-edge-loose"',
    ],
  ])('%s refuses %j', async (name, input, words) => {
    const { code, out, err } = await tryRule(name, input);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(words);
  });

  it.each(TRIABLE_RULES.map((rule) => [rule.name, rule] as const))(
    '%s answers or refuses whatever comes in, and never breaks',
    (_name, { trial }) => {
      const fields = Object.keys(trial.schema['properties'] ?? {});
      const value = fc.oneof(fc.jsonValue(), fc.array(fc.jsonValue(), { maxLength: 4 }));
      const likely = fc.record(Object.fromEntries(fields.map((field) => [field, value])));
      fc.assert(
        fc.property(fc.oneof(fc.jsonValue(), likely), (input) => {
          expect(outcomeOf(trial, input)).toMatch(/^(answered|refused)$/);
        }),
        { numRuns: runs(200) },
      );
    },
  );
});

describe('repair-hole', () => {
  it('says to leave a good hole before it sizes a repair', async () => {
    const good = { thread: 'M8', diametersMm: [8, 8.1] };
    const { answer, err } = await tryRule('repair-hole', good, '--explain');
    expect(answer).toMatchObject({ verdict: 'good', because: expect.stringContaining('leave it') });
    expect(err.split('\n')[0]).toContain('leave it');
    expect(err).toContain('If it is repaired all the same: 8.1 mm at its widest');
  });
});

describe('may-move', () => {
  const trial = TRIABLE_RULES.find(({ name }) => name === 'may-move')?.trial;
  const today = '2026-11-30';
  const states = PIVOT_STATES.map((state) => ({
    pivots: [{ code: 'L-MAIN', kind: 'main', states: [{ doneOn: '2026-05-01', state }] }],
  }));
  const findings = Object.keys(MOVE_FINDINGS).map((fault) => ({
    findings: [{ fault, on: '2026-05-01' }],
  }));

  it.each([...states, ...findings])('says in words how a top is moved that shows %j', (facts) => {
    for (const powered of [true, false]) {
      expect(trial && outcomeOf(trial, { today, powered, ...facts })).toBe('answered');
    }
  });
});

describe('may-move of a frame', () => {
  it('judges its readings where nobody told when the top was fitted', async () => {
    const frame = [{ doneOn: '2026-11-20', diagonalsMm: { left: 1200, right: 1212 } }];
    const { answer } = await tryRule('may-move', { today: '2026-12-01', frame });
    expect(answer).toMatchObject({ verdict: 'leave', reasons: [{ sign: 'twist' }] });
  });
});

describe('the list of rules', () => {
  it('holds every figure there is, and none that there is not', () => {
    const held = RULES.flatMap(({ figures }) => figures);
    const unknown = held.filter(
      (name) => !Object.hasOwn(FIGURE_TABLES, name) && figureNamed(name) === undefined,
    );
    expect(unknown).toEqual([]);
    expect(held).toEqual(expect.arrayContaining(Object.keys(FIGURE_TABLES)));
  });

  it('names each rule once', () => {
    expect(new Set(RULES.map(({ name }) => name)).size).toBe(RULES.length);
  });
});
