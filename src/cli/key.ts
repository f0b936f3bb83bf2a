import { Command, InvalidArgumentError, Option } from 'commander';
import { isZone } from '../domain/calendar/zone.ts';
import { invalid } from '../domain/refusal.ts';
import type { Context, Scope } from '../usecases/context/context.ts';
import { actingAs } from '../usecases/context/acting.ts';
import { SCOPES } from '../usecases/context/context.ts';
import { keyRecords, revokeAnyKey } from '../usecases/organisations/keys.ts';
import { ORGANISATION_KINDS, type OrganisationKind } from '../domain/organisation-kind.ts';
import { makeKey, organisationIdOf } from '../usecases/organisations/organisations.ts';
import type { Door } from './door.ts';
import { withContext } from './door.ts';
import { say } from './voice.ts';

/** Whoever sits at the machine has no name. */
const PROGRAM = { author: { id: 'program:key', name: 'the command key' } };

interface KeyOptions {
  organisation?: string;
  scope: Scope;
  kind?: OrganisationKind;
  timeZone?: string;
  language?: string;
  name?: string;
  days?: number;
  car?: string[];
}

/** `foldkeep key`: a new key for an organisation, printed alone and never again; `list` and `revoke`. */
export function keyCommand(door: Door): Command {
  return new Command('key')
    .description('make a key for an organisation (and the organisation, if its name is new)')
    .enablePositionalOptions()
    .option('--organisation <name>', 'name of the organisation')
    .addOption(new Option('--scope <scope>', 'what the key may do').choices(SCOPES).default('full'))
    .option('--name <words>', 'what the key is for')
    .option('--days <number>', 'ends by itself after so many days', daysOf)
    .option('--car <registration...>', 'the cars that a key of the scope log is bound to')
    .addOption(
      new Option('--kind <kind>', 'kind of a new organisation, shop where none is named').choices(
        ORGANISATION_KINDS,
      ),
    )
    .option('--time-zone <zone>', 'zone of a new organisation')
    .option('--language <tag>', 'language of a new organisation')
    .action((options: KeyOptions) => make(door, options))
    .addCommand(listCommand(door))
    .addCommand(revokeCommand(door));
}

async function make(door: Door, options: KeyOptions): Promise<void> {
  const { organisation: name, scope, kind, timeZone, language, days, car } = options;
  if (name === undefined) throw invalid('--organisation', 'Say whose key it is to be.');
  if (timeZone !== undefined && !isZone(timeZone)) {
    throw invalid('--time-zone', 'Give an IANA time zone name, such as Europe/London.');
  }
  const organisation = {
    name,
    ...(kind === undefined ? {} : { kind }),
    ...(timeZone === undefined ? {} : { timeZone }),
    ...(language === undefined ? {} : { language }),
  };
  const wish = {
    ...(options.name === undefined ? {} : { name: options.name }),
    ...(days === undefined ? {} : { days }),
    ...(car === undefined ? {} : { cars: car }),
  };
  await withContext(door, async (context) => {
    const { key } = await actingAs(context, PROGRAM, () =>
      makeKey(context, organisation, scope, wish),
    );
    say(key);
  });
}

function listCommand(door: Door): Command {
  return new Command('list')
    .description('keys with what they may do, their last use and their end; never the keys')
    .option('--organisation <name>', 'only those of this organisation')
    .option('--json', 'one JSON object a line')
    .action(async (options: { organisation?: string; json?: boolean }) => {
      await withContext(door, async (context) => {
        const keys = await keyRecords(context, await idOf(context, options.organisation));
        for (const key of keys) say(options.json === true ? JSON.stringify(key) : lineOf(key));
        if (keys.length === 0 && options.json !== true) say('There is no key yet.');
      });
    });
}

function revokeCommand(door: Door): Command {
  return new Command('revoke')
    .description('end a key at once; `key list` shows the ids')
    .argument('<id>', 'id of the key')
    .action(async (id: string) => {
      await withContext(door, async (context) => {
        await actingAs(context, PROGRAM, () => revokeAnyKey(context, id));
        say('Revoked.');
      });
    });
}

async function idOf(context: Context, name: string | undefined): Promise<string | null> {
  return name === undefined ? null : organisationIdOf(context, name);
}

function lineOf(key: Awaited<ReturnType<typeof keyRecords>>[number]): string {
  const end =
    key.revokedAt === null
      ? `ends ${key.expiresAt?.slice(0, 10) ?? 'never'}`
      : `revoked ${key.revokedAt.slice(0, 10)}`;
  const used = `used ${key.lastUsedAt?.slice(0, 13) ?? 'never'}`;
  const cars = key.cars === null ? [] : [`cars ${key.cars.join(' ')}`];
  return [key.id, key.scope.padEnd(4), used, end, ...cars, key.name].join('  ').trimEnd();
}

function daysOf(text: string): number {
  if (!/^[1-9]\d{0,3}$/.test(text)) throw new InvalidArgumentError('Give whole days, such as 90.');
  return Number(text);
}
