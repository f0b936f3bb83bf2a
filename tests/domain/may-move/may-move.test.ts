import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { figuresFor } from '../../../src/domain/figure-tables/figure-tables.ts';
import { BY_HAND_ALONE } from '../../../src/domain/may-move/how-to-move.ts';
import { mayMove } from '../../../src/domain/may-move/may-move.ts';
import type { MoveFacts } from '../../../src/domain/may-move/move-facts.ts';
import { MOVE_FINDINGS } from '../../../src/domain/may-move/move-findings.ts';
import { MOVE_VERDICTS } from '../../../src/domain/may-move/move-verdict.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import type { PivotRecord } from '../../../src/domain/pivots/series.ts';
import { PIVOT_STATES } from '../../../src/domain/pivots/state.ts';

const TODAY = '2026-06-08';
const FIGURES = { pivots: figuresFor('pivots'), frame: figuresFor('frame') };

function pivot(change: Partial<PivotRecord> = {}): PivotRecord {
  return {
    code: 'R-MAIN',
    kind: 'main',
    washersExpected: 2,
    readings: [],
    states: [],
    washers: [],
    repairs: [],
    ...change,
  };
}

function judged(change: Partial<MoveFacts>, today = TODAY) {
  const facts = {
    fittedOn: '2024-01-01',
    pivots: [],
    frame: [],
    findings: [],
    repairsBookedOn: [],
  };
  return mayMove({ ...facts, ...change }, today, FIGURES);
}

const on = (doneOn: string, state: PivotRecord['states'][number]['state']) => ({ doneOn, state });

describe('whether a top may be moved', () => {
  // Common practice, no source: a joint that does not turn, or is broken, is not used any more.
  it.each([
    ['free', 'free'],
    ['dry', 'free'],
    ['stiff', 'with-care'],
    ['loose', 'with-care'],
    ['oval', 'leave'],
    ['seized', 'leave'],
    ['sheared', 'leave'],
  ] as const)('%s: %s', (state, verdict) => {
    expect(judged({ pivots: [pivot({ states: [on('2026-05-01', state)] })] }).verdict).toBe(
      verdict,
    );
  });

  it('dates a side that lags to the day on which it was seen', () => {
    const frame = [{ doneOn: '2026-05-01', oneSideLags: true }];
    expect(judged({ frame })).toMatchObject({
      verdict: 'leave',
      reasons: [{ sign: 'force', on: '2026-05-01' }],
    });
  });

  it('forgets a joint that was repaired since, or found free on a later day, but not for oil', () => {
    const seized = on('2026-05-01', 'seized');
    const after = (change: Partial<PivotRecord>) =>
      judged({ pivots: [pivot({ states: [seized], ...change })] }).verdict;
    expect(after({ repairs: ['2026-05-20'] })).toBe('free');
    expect(after({ states: [seized, on('2026-05-20', 'free')] })).toBe('free');
    // What is found on the day of a repair is what was repaired.
    expect(after({ repairs: ['2026-05-01'] })).toBe('free');
    expect(after({ repairs: ['2026-04-01'] })).toBe('leave');
  });

  it.each([
    [0.6, 'with-care'],
    [1.01, 'leave'],
  ])('%s mm of play: %s (limits of play: shop rule)', (mm, verdict) => {
    const readings = [{ doneOn: '2026-05-01', method: 'radial' as const, mm }];
    expect(judged({ pivots: [pivot({ readings })] }).verdict).toBe(verdict);
  });

  it('leaves a frame that lacks two washers on one side, and takes care with one', () => {
    const short = (...present: number[]) =>
      judged({
        pivots: present.map((count, i) =>
          pivot({
            code: `L-LINK${i + 1}`,
            kind: 'link',
            washers: [{ doneOn: '2026-05-01', present: count }],
          }),
        ),
      }).verdict;
    expect(short(2, 2)).toBe('free');
    expect(short(1, 2)).toBe('with-care');
    expect(short(1, 1)).toBe('leave');
  });

  it('leaves a frame whose own measures say so', () => {
    expect(judged({ frame: [{ doneOn: '2026-05-01', swayMm: 16 }] })).toMatchObject({
      verdict: 'leave',
      reasons: [{ sign: 'sway', pivot: null, on: '2026-05-01' }],
    });
    expect(judged({ frame: [{ doneOn: '2026-05-01', swayMm: 4 }] }).verdict).toBe('free');
  });

  it('heeds what was found while nobody has mended it', () => {
    const bent = { fault: 'pivot-arm-bent', pivot: null, on: '2026-05-01' };
    expect(judged({ findings: [bent] })).toMatchObject({
      verdict: 'leave',
      reasons: [{ sign: 'found', fault: 'pivot-arm-bent' }],
    });
    const seized = { fault: 'pivot-seized', pivot: 'R-MAIN', on: '2026-05-01' };
    expect(judged({ pivots: [pivot()], findings: [seized] }).verdict).toBe('leave');
    expect(
      judged({ pivots: [pivot({ repairs: ['2026-05-09'] })], findings: [seized] }).verdict,
    ).toBe('free');
  });

  // Common practice, no source: neither a pin nor a hole is mended by oil.
  it('takes no word of an oiling for the mending of a broken pin or an oval hole', () => {
    for (const state of ['sheared', 'oval'] as const) {
      const then = (next: MoveFacts['pivots'][number]['states'][number]) =>
        judged({ pivots: [{ ...pivot(), states: [on('2026-05-01', state), next] }] }).verdict;
      expect(then({ ...on('2026-05-20', 'free'), onOiling: true })).toBe('leave');
      expect(then(on('2026-05-20', 'free'))).toBe('free');
    }
  });

  it('heeds a fault found at a joint that was never read, whatever was read at others', () => {
    const seized = { fault: 'pivot-seized', pivot: 'R-MAIN', on: '2026-05-01' };
    const other = pivot({ code: 'L-MAIN', states: [on('2026-05-01', 'free')] });
    expect(judged({ pivots: [other], findings: [seized] }).verdict).toBe('leave');
  });

  it('takes a repair visit recorded without single joints for the repair of all before it', () => {
    const pivots = [pivot({ states: [on('2026-05-01', 'sheared')] })];
    const bent = { fault: 'pivot-arm-bent', pivot: null, on: '2026-05-01', visit: 'look' };
    const frame = [{ doneOn: '2026-05-01', swayMm: 30 }];
    const repair = { fault: null, pivot: null, on: '2026-05-20', visit: 'repair' };
    const all = { pivots, frame, findings: [bent] };
    expect(judged(all).verdict).toBe('leave');
    expect(judged({ ...all, mended: [repair] }).verdict).toBe('free');
    expect(judged({ ...all, mended: [repair] }, '2026-05-19').verdict).toBe('leave');
    const found = { ...bent, on: repair.on, visit: repair.visit };
    expect(judged({ ...all, findings: [found], mended: [repair] }).verdict).toBe('leave');
  });

  it('lets the same fault said to be mended on a later visit close the earlier finding', () => {
    const bent = { fault: 'pivot-arm-bent', pivot: null, on: '2026-05-01' };
    expect(judged({ findings: [bent], mended: [{ ...bent, on: '2026-05-20' }] }).verdict).toBe(
      'free',
    );
    expect(judged({ findings: [bent], mended: [{ ...bent, on: '2026-04-20' }] }).verdict).toBe(
      'leave',
    );
  });

  it('says how a top is moved with care, for its motor and its faults', () => {
    const stiff = [pivot({ states: [on('2026-05-01', 'stiff')] })];
    expect(judged({ pivots: stiff }).how).toEqual(['slowly', 'second-person', 'stop']);
    expect(judged({ pivots: stiff, powered: true }).how).toContain('switch');
    // What a motor or a pump holds half way is held up by nobody.
    expect(judged({ pivots: stiff, powered: true }).how.at(-1)).toBe('stop-powered');
    const hard = { fault: 'vinyl-hard', pivot: null, on: '2026-05-01' };
    expect(judged({ findings: [hard] }).how).toEqual(['warm', 'slowly', 'stop']);
    const found = (fault: string) => judged({ findings: [{ ...hard, fault }], powered: true });
    expect(found('hydraulics-slow').how).toEqual([
      'slowly',
      'second-person',
      'switch',
      'no-pumping',
      'sinks',
      'stop-powered',
    ]);
    // A motor that must not run, or does not, is no way to move it: only the handbook's own is left.
    for (const fault of BY_HAND_ALONE) {
      expect(found(fault).verdict).toBe('with-care');
      expect(found(fault).how[0]).toBe('emergency');
      expect(found(fault).how).not.toContain('switch');
    }
    expect(found('fluid-leaking').how).toContain('sinks');
    expect(found('ram-side-loaded').verdict).toBe('leave');
  });

  // From memory: the trade's list of limits says "act" as soon as one side lags.
  it('judges a side that lags alike, whether it was found or is among the measures', () => {
    const lags = { fault: 'frame-racks', pivot: null, on: '2026-05-01' };
    const measured = [{ doneOn: '2026-05-01', oneSideLags: true }];
    expect(judged({ findings: [lags] })).toMatchObject({
      verdict: judged({ frame: measured }).verdict,
      reasons: [{ sign: 'found', fault: 'frame-racks', on: '2026-05-01' }],
    });
    // Either ends with the repair of a joint that carries the frame, and with no other.
    for (const kind of ['link', 'latch'] as const) {
      const pivots = [pivot({ kind, repairs: ['2026-05-09'] })];
      const verdict = kind === 'link' ? 'free' : 'leave';
      expect(judged({ pivots, findings: [lags] }).verdict).toBe(verdict);
      expect(judged({ pivots, frame: measured }).verdict).toBe(verdict);
    }
    // It was found beside a repair of the same day and not said to be done: then it lags still.
    const sameDay = [pivot({ kind: 'link', repairs: ['2026-05-01'] })];
    expect(judged({ pivots: sameDay, findings: [lags] }).verdict).toBe('leave');
    const done = { ...lags, on: '2026-05-12' };
    expect(judged({ findings: [lags], mended: [done] }).verdict).toBe('free');
  });

  // Common practice, no source: a pane that has begun to come out of its glue is not folded any more.
  it('leaves a top whose bonded glass lifts, and steadies the pane of a rusted window frame', () => {
    const found = (fault: string, powered: boolean) =>
      judged({ powered, findings: [{ fault, pivot: null, on: '2026-05-01' }] });
    expect(found('bonded-glass-lifting', false)).toMatchObject({ verdict: 'leave', how: [] });
    expect(found('window-frame-rusted', false)).toMatchObject({
      verdict: 'with-care',
      how: ['slowly', 'second-person', 'window', 'stop'],
    });
    expect(found('window-frame-rusted', true).how).toEqual([
      'slowly',
      'second-person',
      'window',
      'switch',
      'stop-powered',
    ]);
    expect(found('bows-out-of-place', false).verdict).toBe('free');
  });

  it('is never milder for one more finding, whichever it is and whatever was found before', () => {
    const fault = fc.constantFrom(...FAULTS.map(({ id }) => id));
    const findingsOf = (ids: readonly string[]) =>
      ids.map((id) => ({ fault: id, pivot: null, on: '2026-05-01' }));
    const rank = (ids: readonly string[], powered: boolean) =>
      MOVE_VERDICTS.indexOf(judged({ powered, findings: findingsOf(ids) }).verdict);
    fc.assert(
      fc.property(fc.array(fault, { maxLength: 5 }), fault, fc.boolean(), (ids, one, powered) => {
        expect(rank([...ids, one], powered)).toBe(
          Math.max(rank(ids, powered), rank([one], powered)),
        );
      }),
    );
  });

  it('names only faults that the list of faults has', () => {
    const known = FAULTS.map(({ id }) => id);
    expect(Object.keys(MOVE_FINDINGS).filter((id) => !known.includes(id))).toEqual([]);
  });

  it('knows a repair that is booked, until its day has passed', () => {
    const pivots = [pivot({ states: [on('2026-05-01', 'seized')] })];
    const repairsBookedOn = ['2026-06-20', '2026-06-12'];
    expect(judged({ pivots, repairsBookedOn }).repairOn).toBe('2026-06-12');
    expect(judged({ pivots, repairsBookedOn }, '2026-06-13').repairOn).toBe('2026-06-20');
    expect(judged({ pivots, repairsBookedOn }, '2026-06-21').repairOn).toBeNull();
  });

  const records = fc.array(
    fc.record({
      state: fc.constantFrom(...PIVOT_STATES),
      mm: fc.option(fc.double({ min: 0, max: 3, noNaN: true }), { nil: undefined }),
      code: fc.constantFrom('L-MAIN', 'R-MAIN', 'L-LINK1', 'R-LINK1'),
    }),
    { maxLength: 6 },
  );

  it('is never milder for one more bad joint, and ends with the repair of all', () => {
    fc.assert(
      fc.property(records, (list) => {
        const pivots = [...new Map(list.map((one) => [one.code, one])).values()].map(
          ({ code, state, mm }) =>
            pivot({
              code,
              states: [on('2026-05-01', state)],
              readings: mm === undefined ? [] : [{ doneOn: '2026-05-01', method: 'axial', mm }],
            }),
        );
        const rank = (facts: Partial<MoveFacts>) => MOVE_VERDICTS.indexOf(judged(facts).verdict);
        const sheared = pivot({ code: 'L-KNUCKLE1', states: [on('2026-05-02', 'sheared')] });
        expect(rank({ pivots: [...pivots, sheared] })).toBe(MOVE_VERDICTS.indexOf('leave'));
        expect(rank({ pivots })).toBeLessThanOrEqual(rank({ pivots: [...pivots, sheared] }));
        const mended = pivots.map((one) => ({ ...one, repairs: ['2026-05-03'] }));
        expect(judged({ pivots: mended })).toEqual({
          verdict: 'free',
          reasons: [],
          how: [],
          repairOn: null,
          powered: false,
        });
      }),
    );
  });
});
