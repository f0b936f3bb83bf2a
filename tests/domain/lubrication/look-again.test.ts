import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, daysBetween } from '../../../src/domain/calendar/day.ts';
import { valuesOf } from '../../../src/domain/figures/figure.ts';
import {
  LOOK_FIGURES,
  type LatestReading,
  lookAsked,
  lookDue,
  notLookedAtDays,
} from '../../../src/domain/lubrication/look-again.ts';

const read = (doneOn: string, state: string, repaired = false): LatestReading => ({
  doneOn,
  state,
  repaired,
});
const visit = (kind: string, doneOn: string, named = false) => ({ kind, doneOn, named });

describe('the visit after which joints are looked at again', () => {
  it('is the last one at which a joint was stiff or got its repair bolt', () => {
    expect(lookAsked([], [])).toBeNull();
    expect(lookAsked([read('2026-03-02', 'free')], [])).toBeNull();
    expect(lookAsked([read('2026-03-02', 'stiff')], [])).toBe('2026-03-02');
    expect(lookAsked([read('2026-03-02', 'stiff'), read('2026-04-09', 'seized', true)], [])).toBe(
      '2026-04-09',
    );
  });

  it('is none once a look took place after it; one of the same day came before the joint was freed', () => {
    const stiff = [read('2026-03-02', 'stiff')];
    expect(lookAsked(stiff, [visit('look', '2026-04-10')])).toBeNull();
    expect(lookAsked(stiff, [visit('look', '2026-03-02')])).toBe('2026-03-02');
    expect(lookAsked(stiff, [visit('look', '2026-01-10')])).toBe('2026-03-02');
  });

  it('is a repair that names no joint, for all that were bad before it', () => {
    const bad = [read('2026-02-02', 'sheared'), read('2026-02-02', 'free')];
    expect(lookAsked(bad, [])).toBeNull();
    expect(lookAsked(bad, [visit('repair', '2026-03-05')])).toBe('2026-03-05');
    expect(lookAsked(bad, [visit('repair', '2026-03-05', true)])).toBeNull();
    expect(lookAsked([read('2026-02-02', 'free')], [visit('repair', '2026-03-05')])).toBeNull();
  });
});

describe('the second look', () => {
  const due = (today: string, oilDueOn = '2027-03-02', own: Record<string, number> = {}) =>
    lookDue({ since: '2026-03-02', oilDueOn, today }, valuesOf(LOOK_FIGURES, own));

  // Four to eight weeks after a joint was found stiff or repaired (shop rule; nobody published a figure).
  it('is due after six weeks, in a window from four to eight', () => {
    expect(due('2026-03-10')).toEqual({
      since: '2026-03-02',
      dueOn: '2026-04-13',
      windowFrom: '2026-03-30',
      windowTo: '2026-04-27',
      state: 'ahead',
    });
    expect(due('2026-03-30')?.state).toBe('open');
    expect(due('2026-04-27')?.state).toBe('open');
    expect(due('2026-04-28')?.state).toBe('late');
  });

  it('lapses four weeks after its window: then only a call helps', () => {
    expect(due('2026-05-25')?.state).toBe('late');
    expect(due('2026-05-26')).toBeNull();
  });

  it('is left to an oiling that falls due by then, and not to one that was missed before', () => {
    expect(due('2026-03-10', '2026-04-27')).toBeNull();
    expect(due('2026-03-10', '2026-04-28')).not.toBeNull();
    expect(due('2026-03-10', '2026-03-01')).not.toBeNull();
  });

  it('keeps its window ahead whatever an organisation sets within the bounds', () => {
    const bound = (name: keyof typeof LOOK_FIGURES) =>
      fc.integer({ min: LOOK_FIGURES[name].min, max: LOOK_FIGURES[name].max });
    const property = fc.property(
      fc.record({
        afterDays: bound('afterDays'),
        windowBeforeDays: bound('windowBeforeDays'),
        windowAfterDays: bound('windowAfterDays'),
        lateDays: bound('lateDays'),
        lapseDays: bound('lapseDays'),
      }),
      fc.integer({ min: 0, max: 400 }),
      (own, days) => {
        const since = '2026-03-02';
        const today = addDays(since, days);
        const look = lookDue({ since, oilDueOn: '2030-01-01', today }, own);
        if (look === null) return days > own.afterDays + own.windowAfterDays + own.lapseDays;
        return (
          since <= look.windowFrom &&
          look.windowFrom <= look.dueOn &&
          look.dueOn <= look.windowTo &&
          daysBetween(since, look.dueOn) === own.afterDays
        );
      },
    );
    expect(fc.check(property).counterexample).toBeNull();
  });
});

describe('a second look that did not take place', () => {
  const since = '2026-03-02';
  const days = (today: string, oilDueOn = '2026-09-01', from: string | null = since) =>
    notLookedAtDays({ since: from, oilDueOn, today });

  it('counts from its due day on, and goes on when no letter asks for it any more', () => {
    expect(days('2026-04-12')).toBeNull();
    expect(days('2026-04-13')).toBe(42);
    expect(days('2026-08-31')).toBe(182);
  });

  it('is none where nothing asks for it, or an oiling takes its place', () => {
    expect(days('2026-04-13', '2026-09-01', null)).toBeNull();
    expect(days('2026-04-13', '2026-04-27')).toBeNull();
  });
});
