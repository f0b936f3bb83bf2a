import { resolveTxt } from 'node:dns/promises';
import { Command } from 'commander';
import { listBackups } from '../usecases/records/keep-backups.ts';
import { examine } from '../usecases/doctor/examine.ts';
import type { Door } from './door.ts';
import { say } from './voice.ts';

const SIGNS = { ok: 'good', fault: 'FAULT', advice: 'note' } as const;

/** `foldkeep doctor`: looks at all that the server needs; ends with code 1 where something is amiss. */
export function doctorCommand(
  door: Pick<Door, 'mailSetup' | 'databaseUrl' | 'backupPlan' | 'now'>,
): Command {
  return new Command('doctor')
    .description('look at database, disk, clock, zones, letters, mail and DNS, and say what to do')
    .action(async () => {
      let faults = 0;
      const asked = {
        ...door.mailSetup(),
        databaseUrl: door.databaseUrl(),
        now: door.now(),
        askTxt: resolveTxt,
        newestBackup: listBackups(door.backupPlan())[0]?.at ?? null,
      };
      for await (const { level, words } of examine(asked)) {
        if (level === 'fault') faults += 1;
        say(`${SIGNS[level].padEnd(5)}  ${words}`);
      }
      say(faults === 0 ? 'No fault found.' : `${faults} to mend.`);
      if (faults > 0) process.exitCode = 1;
    });
}
