import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toInstant } from '../../../src/domain/calendar/instant.ts';
import type { LogEntry } from '../../../src/domain/folding/position-log.ts';
import { DAMP, positionOf, timelineOf } from '../../../src/domain/folding/position-log.ts';
import { anyLog, folded, raised, underHardTop } from './arbitrary-log.ts';

/** The timeline of all entries, read back. */
function validEntries(entries: readonly LogEntry[]) {
  const { times, marks } = timelineOf(entries, '9999-12-31T23:59:59.999Z');
  return Array.from(times, (time, i) => {
    const mark = marks[i] ?? 0;
    return { position: positionOf(mark), at: toInstant(time), damp: (mark & DAMP) !== 0 };
  });
}

const positions = (entries: readonly LogEntry[]) =>
  validEntries(entries).map(({ position }) => position);

const NOON = '2026-05-01T12:00Z';
const LATER = '2026-05-02T12:00Z';

describe('the entries that count', () => {
  it('stand in order of time, without withdrawn ones and repetitions', () => {
    expect(
      validEntries([
        raised(LATER),
        { ...underHardTop(NOON), withdrawn: true },
        folded(NOON),
        raised(LATER),
      ]),
    ).toEqual([
      { position: 'folded', at: '2026-05-01T12:00:00.000Z', damp: false },
      { position: 'raised', at: '2026-05-02T12:00:00.000Z', damp: false },
    ]);
  });

  it('keep an entry that is there twice and withdrawn once', () => {
    expect(positions([folded(NOON), { ...folded(NOON), withdrawn: true }])).toEqual(['folded']);
  });

  it('take a top that was put up damp for raised, and for folded damp never', () => {
    expect(validEntries([raised(NOON, { damp: true })])[0]).toMatchObject({
      position: 'raised',
      damp: false,
    });
  });

  it('change nothing where the position held before is among several of one instant', () => {
    expect(positions([folded(NOON), raised(LATER), folded(LATER)])).toEqual(['folded', 'folded']);
    expect(positions([raised(NOON), raised(LATER), folded(LATER)])).toEqual(['raised', 'raised']);
  });

  it('otherwise take the position that warns most', () => {
    expect(positions([raised(NOON), folded(NOON)])).toEqual(['folded']);
    expect(positions([raised(NOON), underHardTop(LATER), folded(LATER)])[1]).toBe('folded');
    expect(positions([folded(NOON), underHardTop(LATER), raised(LATER)])[1]).toBe('raised');
  });

  it('are damp where any folded entry of the instant is', () => {
    expect(validEntries([folded(NOON), folded(NOON, { damp: true })])).toEqual([
      { position: 'folded', at: '2026-05-01T12:00:00.000Z', damp: true },
    ]);
  });

  it('work before 1970 too', () => {
    expect(validEntries([raised('1962-01-01T00:00:00.001Z'), folded('1961-12-31T00:00Z')])).toEqual(
      [
        { position: 'folded', at: '1961-12-31T00:00:00.000Z', damp: false },
        { position: 'raised', at: '1962-01-01T00:00:00.001Z', damp: false },
      ],
    );
  });

  it('depend only on the set of entries', () => {
    fc.assert(
      fc.property(anyLog, fc.infiniteStream(fc.nat()), (log, random) => {
        const shuffled = log
          .flatMap((entry, i) => (i % 3 === 0 ? [entry, { ...entry, id: 'again' }] : [entry]))
          .map((entry) => ({ entry, key: random.next().value }))
          .sort((a, b) => a.key - b.key)
          .map(({ entry }) => entry);
        const expected = validEntries(log);
        expect(validEntries(shuffled)).toEqual(expected);
        expect(validEntries(log.filter((entry) => !entry.withdrawn))).toEqual(expected);
        expect(validEntries(expected)).toEqual(expected);
        const instants = expected.map(({ at }) => at);
        expect(instants).toEqual([...new Set(instants)].sort());
      }),
    );
  });
});
