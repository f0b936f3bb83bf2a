import { RRuleTemporal } from 'rrule-temporal';
import { dueDay } from '../src/domain/calendar/day.ts';
import { toInstant } from '../src/domain/calendar/instant.ts';
import { findFaults } from '../src/domain/faults/find.ts';
import { SIGNS } from '../src/domain/faults/signs.ts';
import { foldedClock } from '../src/domain/folding/clock.ts';
import type { Measured } from './measure.ts';
import { best } from './measure.ts';

const HOUR = 3_600_000;

/** The pure rules: the folded clock over a long log, and due days against a recurrence library. */
export async function run(): Promise<Measured[]> {
  const entries = (n: number) =>
    Array.from({ length: n }, (_, i) => ({
      position: i % 2 === 0 ? ('folded' as const) : ('raised' as const),
      at: toInstant(Date.UTC(1990, 0, 1) + i * 0.2 * HOUR),
    }));
  const clock = (log: ReturnType<typeof entries>) =>
    best(3, () =>
      foldedClock({
        zone: 'Europe/London',
        limitDays: 3,
        entries: log,
        at: '2026-01-01T00:00:00.000Z',
      }),
    );
  const small = await clock(entries(100_000));
  const large = await clock(entries(1_000_000));
  const ours = await best(3, () => {
    for (let n = 1; n <= 2_000; n++) dueDay('2024-02-29', 12, (n % 50) + 1);
  });
  const theirs = await best(3, () => {
    for (let i = 0; i < 40; i++) {
      new RRuleTemporal({
        rruleString:
          'DTSTART:20240229T000000Z\nRRULE:RSCALE=GREGORIAN;FREQ=YEARLY;SKIP=BACKWARD;COUNT=51',
      }).all();
    }
  });
  const looks = SIGNS.filter(({ how }) => how === undefined).map(({ id }) => id);
  const talk = await best(5, () => findFaults({ seen: looks }));
  return [
    { name: 'fault-talk-all-looks-of-50-ms', ratio: talk / 50, goal: '<= 0.5' },
    { name: 'folded-clock-1M-entries-seconds', ratio: large / 1000, goal: '<= 0.1' },
    { name: 'folded-clock-1M-vs-10-times-100k', ratio: large / (10 * small), goal: '<= 1.3' },
    { name: 'due-days-vs-rrule-temporal', ratio: ours / theirs, goal: '<= 1' },
  ];
}
