import { Command, InvalidArgumentError } from 'commander';
import { addDays } from '../domain/calendar/day.ts';
import { Refused } from '../domain/refusal.ts';
import {
  inviteToScenario,
  isScenarioLoaded,
  loadScenario,
  makeScenarioKeys,
  scenarioNotes,
} from '../usecases/scenario/load-scenario.ts';
import type { ScenarioKey } from '../usecases/scenario/load-scenario.ts';
import { planRound } from '../usecases/round/plan-round.ts';
import type { LetterTally } from '../usecases/scenario/scenario-letters.ts';
import { tallyLetters } from '../usecases/scenario/scenario-letters.ts';
import type { Door, OpenServer } from './door.ts';
import { say } from './voice.ts';

interface DemoOptions {
  serve: boolean;
  stopAfter?: number;
}

/** `foldkeep demo`: invented people and cars, their letters, and a server to look at them with. */
export function demoCommand(door: Door): Command {
  return new Command('demo')
    .description('load invented people and cars, write their letters and serve it all')
    .option('--no-serve', 'load, write, print where to look, and end')
    .option('--stop-after <seconds>', 'stop serving after so many seconds', secondsOf)
    .action(async (options: DemoOptions) => {
      const server = await door.openServer();
      try {
        await demonstrate(server, options);
      } finally {
        await server.close();
      }
    });
}

async function demonstrate(server: OpenServer, options: DemoOptions): Promise<void> {
  const { context } = server;
  say(await load(server));
  const url = options.serve ? await listen(server) : context.publicUrl;
  await planRound(context);
  await server.deliver();
  const keys = await makeScenarioKeys(context);
  const link = await inviteToScenario(context);
  say(guide(server, url, { keys, link }, await tallyLetters(context), options.serve));
  if (!options.serve) return;
  server.startClock();
  await stopAsked(options.stopAfter);
  say('Stopping.');
}

async function load({ context, databaseUrl }: OpenServer): Promise<string> {
  if (await isScenarioLoaded(context)) {
    return `The demo is in ${plain(databaseUrl)} already and was not loaded again; what has come due since is written now.`;
  }
  const started = performance.now();
  const { organisations, owners, cars, visits, positionEntries } = await loadScenario(context);
  const seconds = ((performance.now() - started) / 1000).toFixed(1);
  return `Loaded into ${plain(databaseUrl)} in ${seconds} s: ${organisations} organisations, ${owners} owners, ${cars} cars, ${visits} visits, ${positionEntries} entries of folding and raising. All of it is invented.`;
}

async function listen(server: OpenServer): Promise<string> {
  try {
    return await server.listen();
  } catch (fault) {
    if (!(fault instanceof Error && 'code' in fault && fault.code === 'EADDRINUSE')) throw fault;
    throw new Refused({
      kind: 'conflict',
      detail: `Another program listens at ${server.context.publicUrl}. Stop it, or take another port: PORT=8621 npm run demo`,
    });
  }
}

function guide(
  server: OpenServer,
  url: string,
  { keys, link }: { readonly keys: readonly ScenarioKey[]; readonly link: string | null },
  letters: LetterTally,
  serving: boolean,
): string {
  const shop = keys.find(({ kind }) => kind === 'shop');
  const until = addDays(server.context.now().slice(0, 10), 28);
  const widest = Math.max(...keys.map(({ name }) => name.length));
  return [
    '',
    `${letters.written} letters are written:`,
    ...letters.kinds.map(({ kind, count }) => `  ${String(count).padStart(3)}  ${kind}`),
    ...waitingLines(letters),
    server.mailTray === null
      ? '  They leave through SMTP_URL.'
      : `  Read them at ${url}/tray, or open the .eml files in ${server.mailTray}`,
    '',
    'Three ways in, each with a key of its own: new at every start and kept nowhere but here',
    ...keys.map(
      ({ name, kind, key }) => `  ${name.padEnd(widest)}  ${key}  ${WAYS_IN[kind] ?? ''}`,
    ),
    `  Sign in with one of them at ${url}/home; to change over, sign out first.`,
    `  What the API can do: ${url}/reference`,
    '',
    ...(link === null
      ? []
      : [
          'Come in to the shop as yourself, with a passkey or a password; then its key serves programs alone',
          `  ${link}`,
          '',
        ]),
    'Whose tops are due by four weeks from now?',
    `  curl -H 'Authorization: Bearer ${shop?.key ?? 'KEY'}' '${url}/v1/due?until=${until}'`,
    '',
    'Some cars with a story (seeds/ tells the others)',
    ...scenarioNotes().map(({ registration, note }) => `  ${registration}  ${note}`),
    '',
    ...endLines(server, serving),
  ].join('\n');
}

function waitingLines({ waiting, nextAt }: LetterTally): string[] {
  if (waiting === 0 || nextAt === null) return [];
  return [
    `  ${waiting} of them wait for the hours in which letters may leave, the first until ${nextAt};`,
    '  GET /v1/letters shows them now.',
  ];
}

function endLines({ databaseUrl }: OpenServer, serving: boolean): string[] {
  const afresh = databaseUrl.startsWith('file:data/')
    ? 'To begin afresh, delete the folder data/ first.'
    : 'To begin afresh, set DATABASE_URL to an empty database and MAIL_TRAY to an empty folder.';
  return serving
    ? [`Serving, with the clock running. Stop with Ctrl+C. ${afresh}`]
    : [`Not serving: \`npm start\` serves these records. ${afresh}`];
}

/** What whoever signs in finds first, by the kind of organisation. */
const WAYS_IN: Readonly<Record<string, string>> = {
  shop: 'the shop: its day, whom to ring, bench, stock, estimates',
  club: 'the club: members, a care day with its rota, letters to all, faults by pattern',
  private: 'an owner who keeps her own records',
};

/** The address of the database without a password. */
function plain(databaseUrl: string): string {
  return databaseUrl.replace(/:\/\/[^@]*@/, '://');
}

async function stopAsked(afterSeconds: number | undefined): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
    if (afterSeconds !== undefined) timer = setTimeout(resolve, afterSeconds * 1000);
  });
  clearTimeout(timer);
}

function secondsOf(text: string): number {
  const seconds = Number(text);
  if (!(seconds > 0 && seconds <= 86_400)) {
    throw new InvalidArgumentError('Give a number of seconds up to 86400, such as 30.');
  }
  return seconds;
}
