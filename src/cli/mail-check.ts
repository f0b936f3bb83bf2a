import { Command } from 'commander';
import { checkMailSetup } from '../usecases/delivery/check-mail.ts';
import type { Door } from './door.ts';
import { say } from './voice.ts';

const SIGNS = { ok: 'good', fault: 'FAULT', advice: 'note' } as const;

/** `foldkeep mail-check`: tries the mail settings; ends with code 1 where letters would not leave. */
export function mailCheckCommand(door: Pick<Door, 'mailSetup' | 'now'>): Command {
  return new Command('mail-check')
    .description('try the mail settings, explain every fault, name the DNS records to publish')
    .option('--send-to <address>', 'send one trial letter there')
    .action(async (options: { sendTo?: string }) => {
      let faults = 0;
      for await (const { level, words } of checkMailSetup(
        door.mailSetup(),
        door.now(),
        options.sendTo ?? null,
      )) {
        if (level === 'fault') faults += 1;
        say(`${SIGNS[level].padEnd(5)}  ${words}`);
      }
      say(
        faults === 0
          ? 'No fault found.'
          : `${faults} ${faults === 1 ? 'fault' : 'faults'} to mend before letters can leave.`,
      );
      if (faults > 0) process.exitCode = 1;
    });
}
