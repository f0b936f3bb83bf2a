import { describe, expect, it } from 'vitest';
import type { JointFound } from '../../../src/domain/lubrication/asked-since.ts';
import { askedSince } from '../../../src/domain/lubrication/asked-since.ts';

const TOP = { fittedOn: '2026-04-05', dueOn: '2026-10-05' };
const joint = (
  states: readonly (readonly [string, string])[],
  more: Partial<JointFound> = {},
): JointFound => ({
  washersExpected: 2,
  states: states.map(([doneOn, state]) => ({ doneOn, state })),
  washers: [],
  repairs: [],
  ...more,
});

describe('since when oil can have been asked for', () => {
  it('is the first look of those that found the fault without a break', () => {
    const looks = [
      ['2026-11-28', 'stiff'],
      ['2026-11-20', 'stiff'],
    ] as const;
    expect(askedSince([joint(looks)], TOP)).toBe('2026-11-20');
    const healed = [['2026-10-10', 'stiff'], ['2026-10-20', 'free'], ...looks] as const;
    expect(askedSince([joint(healed)], TOP)).toBe('2026-11-20');
  });

  it('is nothing where the due day could be known when it came', () => {
    expect(askedSince([], TOP)).toBeNull();
    expect(askedSince([joint([['2026-09-01', 'stiff']])], TOP)).toBeNull();
    const early = joint([['2026-09-01', 'stiff']]);
    expect(askedSince([joint([['2026-11-20', 'stiff']]), early], TOP)).toBeNull();
  });

  it('counts a missing washer, and nothing that was repaired or was read before the top was fitted', () => {
    const short = { washers: [{ doneOn: '2026-11-20', present: 1 }] };
    const looked = [['2026-11-20', 'free']] as const;
    expect(askedSince([joint(looked, short)], TOP)).toBe('2026-11-20');
    expect(askedSince([joint(looked, { ...short, repairs: ['2026-11-20'] })], TOP)).toBeNull();
    const before = { fittedOn: '2026-11-25', dueOn: '2026-11-01' };
    expect(askedSince([joint([['2026-11-20', 'stiff']])], before)).toBeNull();
  });
});
