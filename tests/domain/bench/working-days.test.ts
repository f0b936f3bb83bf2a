import { describe, expect, it } from 'vitest';
import { firstDayToOffer, lastDayToChange } from '../../../src/domain/bench/working-days.ts';

// Whit Monday of 2026 is 25 May (Easter, 5 April, and fifty days: any calendar).
const WHIT = { from: '2026-05-25', to: '2026-05-25' };
const week = { weekdays: [1, 2, 3, 4, 5], closures: [WHIT] };

describe('working days', () => {
  it('are counted from the day after, over weekends and holidays', () => {
    // Thursday 21 May: Friday, Tuesday, Wednesday.
    expect(firstDayToOffer('2026-05-21', 3, week)).toBe('2026-05-27');
    expect(firstDayToOffer('2026-05-18', 3, week)).toBe('2026-05-21');
    expect(firstDayToOffer('2026-05-24', 0, week)).toBe('2026-05-26');
    expect(firstDayToOffer('2026-05-22', 0, week)).toBe('2026-05-22');
  });

  it('are Monday to Friday too where a shop opens on one day a week', () => {
    const tuesdays = { weekdays: [2], closures: [WHIT] };
    expect(firstDayToOffer('2026-05-21', 3, tuesdays)).toBe('2026-06-02');
    expect(firstDayToOffer('2026-05-20', 3, tuesdays)).toBe('2026-05-26');
  });

  it('never come where the shop stays shut', () => {
    expect(firstDayToOffer('2026-05-21', 3, { weekdays: [], closures: [] })).toBeNull();
  });

  it('bound until when a visit may be changed', () => {
    // Wednesday 27 May: Tuesday and, Monday being a holiday, Friday before it.
    expect(lastDayToChange('2026-05-27', 2, week)).toBe('2026-05-22');
    expect(lastDayToChange('2026-05-27', 0, week)).toBe('2026-05-27');
  });
});
