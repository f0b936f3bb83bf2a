import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { matterOf } from '../../../src/domain/round/matter.ts';

describe('the matter of an occasion', () => {
  it.each([
    ['folded-over:c1:2026-06-08T08:00:00.000Z', 'folded:c1:2026-06-08T08:00:00.000Z'],
    ['folded-still:c1:2026-06-08T08:00:00.000Z:3', 'folded:c1:2026-06-08T08:00:00.000Z'],
    ['lubrication-ahead:t1:2026-06-12', 'lubrication:t1:2026-06-12'],
    ['lubrication-late:t1:2026-06-12:2', 'lubrication:t1:2026-06-12'],
    ['visit-booked:v1:2026-06-12', 'visit:v1'],
    ['visit-moved:v1:2026-06-19:4', 'visit:v1'],
    ['visit-report:v1:2026-06-19', 'visit:v1'],
    ['care-note:t1:dry-before-folding:2026-06', null],
    ['warranty-ending:t1:cover:2026-06-12', null],
    ['visit-offered:o1', null],
  ])('%s is %s', (key, matter) => {
    expect(matterOf(key)).toBe(matter);
  });

  it('is known for every kind of letter that follows another', () => {
    const alone = LETTER_KINDS.filter(
      (kind) =>
        matterOf(`${kind}:x:2026-06-08T08:00:00.000Z`) === null &&
        matterOf(`${kind}:x:2026-06-12`) === null,
    );
    expect(alone).toEqual([
      'must-stay',
      'care-note',
      'visit-offered',
      'warranty-ending',
      'care-day-asked',
      'estimate',
      'club-letter',
    ]);
  });
});
