import { describe, expect, test } from 'vitest';
import {
  type AdvisedWork,
  declinedWork,
  type Outcome,
} from '../../../src/domain/warranty/declined.ts';

function entry(
  on: string,
  outcome: Outcome,
  fault = 'washers-missing',
  pivotCode?: string,
): AdvisedWork {
  return { fault, pivotCode, advised: 'new spacers', outcome, on };
}

describe('declined work', () => {
  test('says since when and how often', () => {
    const found = declinedWork([
      entry('2024-03-01', 'advised'),
      entry('2024-03-01', 'declined'),
      entry('2025-03-08', 'declined'),
    ]);
    expect(found).toEqual([
      {
        fault: 'washers-missing',
        pivotCode: null,
        advised: 'new spacers',
        firstOn: '2024-03-01',
        lastOn: '2025-03-08',
        times: 2,
      },
    ]);
  });

  test('is forgotten once accepted or done, and starts afresh if declined again', () => {
    const before = [entry('2024-03-01', 'declined'), entry('2024-06-01', 'accepted')];
    expect(declinedWork(before)).toEqual([]);
    expect(declinedWork([entry('2024-03-01', 'declined'), entry('2024-06-01', 'done')])).toEqual(
      [],
    );
    expect(declinedWork([...before, entry('2025-03-01', 'declined')])[0]).toMatchObject({
      firstOn: '2025-03-01',
      times: 1,
    });
  });

  test('stays declined when it is only advised again', () => {
    const found = declinedWork([entry('2024-03-01', 'declined'), entry('2025-03-01', 'advised')]);
    expect(found[0]?.lastOn).toBe('2024-03-01');
  });

  test('is kept per pivot, the oldest first, whatever the order of the entries', () => {
    const found = declinedWork([
      entry('2025-01-01', 'declined', 'pivot-stiff', 'L-MAIN'),
      entry('2024-01-01', 'declined', 'pivot-stiff', 'R-MAIN'),
      entry('2024-06-01', 'done', 'pivot-stiff', 'L-LINK1'),
      entry('2024-02-01', 'declined', 'pivot-stiff', 'L-LINK1'),
    ]);
    expect(found.map((work) => work.pivotCode)).toEqual(['R-MAIN', 'L-MAIN']);
  });
});
