import { Argument, Command } from 'commander';
import { text } from 'node:stream/consumers';
import type { Fault } from '../domain/refusal.ts';
import { invalid, Refused } from '../domain/refusal.ts';
import { triableRule, TRIABLE_RULES } from '../usecases/rules/all-rules.ts';

/** Where the command reads and speaks; a test hands in its own. */
export interface Streams {
  read(): Promise<string>;
  out(words: string): void;
  err(words: string): void;
}

const PROCESS: Streams = {
  read: () => text(process.stdin),
  out: (words) => process.stdout.write(`${words}\n`),
  err: (words) => process.stderr.write(`${words}\n`),
};

/** Exit code for input that a rule cannot take. */
export const REFUSED = 2;

/**
 * `foldkeep rule`: tries one rule alone, JSON in and JSON out. It opens no records and knows no
 * organisation: the figures are the defaults.
 */
export function ruleCommand(streams: Streams = PROCESS): Command {
  return new Command('rule')
    .description('try one rule alone: JSON from standard input, JSON to standard output')
    .addArgument(new Argument('[name]', 'the rule; without one the rules are listed'))
    .option('--explain', 'say the sum in words too, on standard error', false)
    .action(async (name: string | undefined, options: { explain: boolean }) => {
      if (name === undefined) {
        for (const rule of TRIABLE_RULES) streams.out(`${rule.name.padEnd(14)} ${rule.does}`);
        return;
      }
      try {
        const { answer, words } = await tryOne(streams, name);
        streams.out(JSON.stringify(answer));
        if (options.explain) for (const line of words) streams.err(line);
      } catch (fault) {
        if (!(fault instanceof Refused)) throw fault;
        for (const line of linesOf(fault)) streams.err(line);
        process.exitCode = REFUSED;
      }
    });
}

async function tryOne(streams: Streams, name: string) {
  const rule = triableRule(name);
  if (rule === undefined) {
    const names = TRIABLE_RULES.map((known) => known.name).join(', ');
    throw invalid('name', `There is no rule "${name}" to try. There are: ${names}.`);
  }
  return rule.trial.run(jsonOf(await streams.read()));
}

function jsonOf(input: string): unknown {
  try {
    return JSON.parse(input);
  } catch {
    // Some programs write NaN and Infinity bare. Read as null, the rule can name where they stand.
    const tamed = input.replace(/"(?:[^"\\]|\\.)*"|-?\b(?:NaN|Infinity)\b/g, (found) =>
      found.startsWith('"') ? found : 'null',
    );
    try {
      return JSON.parse(tamed);
    } catch {
      throw invalid('#', 'Standard input is not JSON. Check its brackets, quotes and commas.');
    }
  }
}

function linesOf({ refusal, message }: Refused): string[] {
  const faults: readonly Fault[] = refusal.kind === 'invalid' ? refusal.faults : [];
  if (faults.length === 0) return [message];
  return faults.map(({ pointer, detail }) => `${pointer}: ${detail}`);
}
