import { Command } from 'commander';
import { ruleCommand } from '../../src/cli/rule.ts';

export interface Tried {
  /** The parsed answer, undefined where nothing was printed. */
  // Tests look into answers of many shapes; their expectations are the check.
  readonly answer: any; // oxlint-disable-line typescript/no-explicit-any
  readonly out: string;
  readonly err: string;
  readonly code: number | string | null | undefined;
}

/** Runs `foldkeep rule` in this process, with the input as its standard input. */
export async function tryRule(
  name: string | null,
  input: unknown,
  ...flags: string[]
): Promise<Tried> {
  const out: string[] = [];
  const err: string[] = [];
  const before = process.exitCode;
  process.exitCode = 0;
  const program = new Command('foldkeep').addCommand(
    ruleCommand({
      read: async () => (typeof input === 'string' ? input : JSON.stringify(input)),
      out: (words) => out.push(words),
      err: (words) => err.push(words),
    }),
  );
  await program.parseAsync([
    'node',
    'foldkeep',
    'rule',
    ...(name === null ? [] : [name]),
    ...flags,
  ]);
  const code = process.exitCode;
  process.exitCode = before;
  const printed = out.join('\n');
  return {
    answer: name === null || printed === '' ? undefined : JSON.parse(printed),
    out: printed,
    err: err.join('\n'),
    code,
  };
}
