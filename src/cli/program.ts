import { Command } from 'commander';
import { speakPlainly } from '../usecases/records/field-words.ts';
import { backupCommand } from './backup.ts';
import { backupsCommand } from './backups.ts';
import { demoCommand } from './demo.ts';
import { doctorCommand } from './doctor.ts';
import type { Door } from './door.ts';
import { erasedCommand } from './erased.ts';
import { exportCommand } from './export.ts';
import { importCommand } from './import.ts';
import { inviteCommand } from './invite.ts';
import { keyCommand } from './key.ts';
import { lettersCommand } from './letters.ts';
import { mailCheckCommand } from './mail-check.ts';
import { moveCommand } from './move.ts';
import { restoreCommand } from './restore.ts';
import { roundCommand } from './round.ts';
import { ruleCommand } from './rule.ts';

/** The command line with all its commands. */
export function buildProgram(door: Door): Command {
  speakPlainly();
  const program = new Command('foldkeep')
    .description('Keeps convertible tops alive after they are fitted.')
    .enablePositionalOptions()
    .showHelpAfterError()
    .configureHelp({ sortSubcommands: true });
  program
    .command('serve')
    .description('serve pages and API, hold the round and deliver letters by the clock')
    .action(() => door.serve());
  program.addCommand(demoCommand(door));
  program.addCommand(roundCommand(door));
  program.addCommand(keyCommand(door));
  program.addCommand(inviteCommand(door));
  program.addCommand(lettersCommand());
  program.addCommand(mailCheckCommand(door));
  program.addCommand(ruleCommand());
  program.addCommand(backupCommand(door));
  program.addCommand(backupsCommand(door));
  program.addCommand(restoreCommand(door));
  program.addCommand(erasedCommand(door));
  program.addCommand(exportCommand(door));
  program.addCommand(importCommand(door));
  program.addCommand(moveCommand(door));
  program.addCommand(doctorCommand(door));
  return program;
}
