import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { draftLines, speaksWork, workWordsIn } from '../../../src/domain/estimates/draft.ts';
import type { PricedLine } from '../../../src/domain/estimates/estimate.ts';
import {
  agreedWork,
  amountOf,
  heapOf,
  LINE_KINDS,
  sumOf,
  wantedLines,
} from '../../../src/domain/estimates/estimate.ts';
import { faultOf } from '../../../src/domain/faults/fault-rows.ts';
import { workPlan } from '../../../src/domain/faults/work-plan.ts';
import { FAULT_WORK } from '../../../src/domain/faults/work-rows.ts';
import { LARGEST_PRICE, LARGEST_TAX_RATE } from '../../../src/domain/money/amount.ts';
import { LARGEST_QUANTITY } from '../../../src/domain/money/sums.ts';

const line: fc.Arbitrary<PricedLine> = fc.record({
  kind: fc.constantFrom(...LINE_KINDS),
  work: fc.integer({ min: 1, max: 4 }),
  quantity: fc.integer({ min: 0, max: LARGEST_QUANTITY }),
  unitPrice: fc.option(fc.integer({ min: 0, max: LARGEST_PRICE })),
  strips: fc.boolean(),
  answer: fc.constantFrom(null, 'accepted', 'declined'),
});
const lines = fc.array(line, { maxLength: 80 });
const rate = fc.option(fc.integer({ min: 0, max: LARGEST_TAX_RATE }));
const wishes = fc.array(fc.integer({ min: 1, max: 4 })).map((works) => new Set(works));

describe('a sum', () => {
  it('is a whole number, the tax once on all lines, whatever their order', () => {
    fc.assert(
      fc.property(lines, rate, (all, taxRate) => {
        const sum = sumOf(all, taxRate);
        expect(Object.values(sum).every((one) => one === null || Number.isSafeInteger(one))).toBe(
          true,
        );
        expect(sum.net).toBe(all.map(amountOf).reduce((a, b) => a + b, 0));
        expect(sum.total).toBe(sum.net + (sum.tax ?? 0));
        expect(sumOf(all.toReversed(), taxRate)).toEqual(sum);
      }),
    );
  });

  it('of what is wanted never passes the whole, and grows with what is wanted', () => {
    fc.assert(
      fc.property(lines, rate, wishes, wishes, (all, taxRate, some, more) => {
        const part = sumOf(wantedLines(all, some), taxRate).total;
        const larger = sumOf(wantedLines(all, new Set([...some, ...more])), taxRate).total;
        expect(part).toBeLessThanOrEqual(larger);
        expect(larger).toBeLessThanOrEqual(sumOf(all, taxRate).total);
      }),
    );
  });

  it('of nothing wanted is nothing, of all work all of it', () => {
    fc.assert(
      fc.property(lines, rate, (all, taxRate) => {
        expect(sumOf(wantedLines(all, new Set()), taxRate).total).toBe(0);
        const kept = wantedLines(all, new Set([1, 2, 3, 4]));
        expect(kept.filter(({ kind }) => kind !== 'cover-off')).toEqual(
          all.filter(({ kind }) => kind !== 'cover-off'),
        );
      }),
    );
  });
});

describe('taking the cover off', () => {
  it('is reckoned as long as some agreed work asks for it', () => {
    const plain = { quantity: 100, unitPrice: 1_000, strips: false, answer: null };
    const all: PricedLine[] = [
      { ...plain, kind: 'cover-off', work: 0 },
      { ...plain, kind: 'work', work: 1, strips: true, answer: 'declined' },
      { ...plain, kind: 'work', work: 2, answer: 'accepted' },
      { ...plain, kind: 'part', work: 2 },
    ];
    expect([...agreedWork(all)]).toEqual([2]);
    expect(wantedLines(all, agreedWork(all)).map(({ kind }) => kind)).toEqual(['work', 'part']);
    expect(sumOf(wantedLines(all, new Set([1])), null).net).toBe(2_000);
  });
});

describe('a draft', () => {
  const remedy = (fault: string) => {
    const { item, remedy: text, mustNot } = faultOf(fault)!;
    return { fault, name: item, standing: 'proven' as const, text, mustNot, proveFirst: null };
  };
  const words = {
    joint: (code: string) => code.toLowerCase(),
    coverOff: 'cover off and on',
    ...workWordsIn('en'),
  };

  it('has a line for every piece of the plan, and its hours come to those of the plan', () => {
    const plan = workPlan(
      ['padding-decayed', 'washers-missing', 'tension-cable-broken'].map(remedy),
      { joints: { 'washers-missing': [{ code: 'L-MAIN', kind: 'main' }] } },
    );
    const drafted = draftLines(
      plan,
      [
        { id: 'f1', fault: 'washers-missing', pivot: 'L-MAIN', text: 'gone' },
        { id: 'f2', fault: null, pivot: null, text: 'a stain' },
      ],
      { hourRate: 8_000, priceOf: (part) => (part === 'washer-pair' ? 333 : null) },
      words,
    );
    const hours = drafted.filter(({ kind }) => kind !== 'part').map(({ quantity }) => quantity);
    expect(hours.reduce((a, b) => a + b, 0)).toBe(Math.round(plan.hours * 100));
    expect(drafted[0]).toMatchObject({ kind: 'cover-off', text: 'cover off and on' });
    const washers = drafted.find(({ fault }) => fault === 'washers-missing');
    expect(washers).toMatchObject({ findings: ['f1'], pivots: ['L-MAIN'] });
    expect(washers?.text).toContain('(l-main)');
    expect(drafted.find(({ part }) => part === 'washer-pair')).toMatchObject({ unitPrice: 333 });
    expect(drafted.find(({ part }) => part === 'padding')).toMatchObject({ unitPrice: null });
    expect(drafted.at(-1)).toMatchObject({ text: 'a stain', findings: ['f2'], unitPrice: null });
  });

  it('speaks the language of its reader, of every fault and part there is', () => {
    const plan = workPlan(['padding-decayed', 'washers-missing', 'pivot-seized'].map(remedy), {
      joints: { 'washers-missing': [{ code: 'L-MAIN', kind: 'main' }] },
    });
    const prices = { hourRate: 8_000, priceOf: () => null };
    const german = draftLines(plan, [], prices, { ...words, ...workWordsIn('de-AT') });
    expect(german.map(({ text }) => text)).toContain('Unterlegscheiben');
    expect(german.map(({ text }) => text)).toContain('Reparatursatz für dieses Gelenk');
    const inEnglish = new Set(
      FAULT_WORK.flatMap(({ fault }) => [remedy(fault).name, remedy(fault).text]),
    );
    for (const { fault } of FAULT_WORK) {
      const { name, text: work } = remedy(fault);
      const said = workWordsIn('de').work({ fault, name, work });
      expect([fault, inEnglish.has(said.name), inEnglish.has(said.work)]).toEqual([
        fault,
        false,
        false,
      ]);
    }
    expect(speaksWork('fr')).toBe(false);
  });

  it('lies in the heap that somebody looks for it in', () => {
    const answered = (answer: 'accepted' | 'declined' | null) => ({
      kind: 'work' as const,
      work: 1,
      quantity: 100,
      unitPrice: 1,
      strips: false,
      answer,
    });
    expect(heapOf({ state: 'sent', lines: [answered(null)] })).toBe('waiting');
    expect(heapOf({ state: 'answered', lines: [answered('declined'), answered('accepted')] })).toBe(
      'accepted',
    );
    expect(heapOf({ state: 'answered', lines: [answered('declined')] })).toBe('declined');
    expect(heapOf({ state: 'replaced', lines: [answered(null)] })).toBe('ended');
  });
});
