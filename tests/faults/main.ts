import { randomInt } from 'node:crypto';
import {
  fillablePostgresql,
  fillableSqlite,
  mayMount,
  stoppablePostgresql,
} from './breakable-databases.ts';
import { BACKUP_GOALS, backupUnderWrites } from './backup-under-writes.ts';
import { clockJumps, JUMPS_GOALS } from './clock-jumps.ts';
import { crowdedRequests, generatedRequests, REQUESTS_GOALS } from './generated-requests.ts';
import { JUNK_GOALS, junkMailbox } from './junk-mailbox.ts';
import { killDelivery } from './kill-delivery.ts';
import { LETTER_GOALS } from './letters-after-kills.ts';
import { KILL_SERVER_GOALS, killServer } from './kill-server.ts';
import { killedMigrations, MIGRATIONS_GOALS } from './killed-migrations.ts';
import { RETRIED_GOALS, retriedWrites } from './retried-writes.ts';
import { INSTANCES_GOALS, manyInstances, rollingRestart } from './rolling-restart.ts';
import { tell } from './tell.ts';

// npm run faults [NAME …] [-- --seed N]: every run, or those whose names begin so, a JSON line each. The exit
// code tells whether each count that has to be nothing is.
const words = process.argv.slice(2);
const seedAt = words.indexOf('--seed');
// Another seed picks other moments: the one that found a fault is in the report.
const seed = seedAt === -1 ? randomInt(2 ** 32) : Number(words.splice(seedAt, 2)[1]);

const BOTH = ['sqlite', 'postgresql'] as const;
const JUMPS = [
  { day: 0, by: 400 },
  { day: 1, by: -400 },
  { day: 2, by: 3 },
  { day: 5, by: 400 },
  { day: 9, by: -400 },
  { day: 20, by: 30 },
  { day: 33, by: 400 },
];

const runs: Record<string, () => Promise<void>> = {
  'rolling-restart': async () => tell(await rollingRestart(20, 400), INSTANCES_GOALS),
  'many-instances': async () =>
    tell(await manyInstances(4, { cars: 10_000, owed: 2_500 }, 120), INSTANCES_GOALS),
  'postgresql-stopped': async () =>
    tell(await retriedWrites('postgresql-stopped', stoppablePostgresql(), 20), RETRIED_GOALS),
  'junk-mailbox': async () => tell(await junkMailbox(10_000, 50 * 1024 * 1024), JUNK_GOALS),
};
if (mayMount) {
  runs['disk-full-sqlite'] = async () =>
    tell(await retriedWrites('disk-full-sqlite', fillableSqlite(), 20), RETRIED_GOALS);
  runs['disk-full-postgresql'] = async () =>
    tell(await retriedWrites('disk-full-postgresql', fillablePostgresql(), 20), RETRIED_GOALS);
}
for (const dialect of BOTH) {
  runs[`kill-delivery-${dialect}`] = async () =>
    tell(await killDelivery(dialect, 200, { seed }), LETTER_GOALS);
  runs[`kill-server-${dialect}`] = async () =>
    tell(await killServer(dialect, 200, { seed, maxSeconds: 3_600 }), KILL_SERVER_GOALS);
  runs[`clock-jumps-${dialect}`] = async () =>
    tell(await clockJumps(dialect, 90, JUMPS), JUMPS_GOALS);
  runs[`killed-migrations-${dialect}`] = async () =>
    tell(await killedMigrations(dialect), MIGRATIONS_GOALS);
  runs[`backup-under-writes-${dialect}`] = async () =>
    tell(await backupUnderWrites(dialect, 100), BACKUP_GOALS);
  runs[`generated-requests-${dialect}`] = async () =>
    tell(await generatedRequests(dialect, 50_000, { seed, maxSeconds: 3_600 }), REQUESTS_GOALS);
  runs[`crowded-requests-${dialect}`] = async () =>
    tell(await crowdedRequests(dialect, 20_000, { seed, maxSeconds: 3_600 }), REQUESTS_GOALS);
}

for (const [name, run] of Object.entries(runs)) {
  if (words.length === 0 || words.some((word) => name.startsWith(word))) await run();
}
