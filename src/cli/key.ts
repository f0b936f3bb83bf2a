import { Command, Option } from 'commander';
import { isZone } from '../domain/calendar/zone.ts';
import { invalid } from '../domain/refusal.ts';
import type { Scope } from '../usecases/context/context.ts';
import { SCOPES } from '../usecases/context/context.ts';
import type { OrganisationKind } from '../usecases/organisations/organisations.ts';
import { makeKey } from '../usecases/organisations/organisations.ts';
import type { Door } from './door.ts';
import { say, withContext } from './door.ts';

interface KeyOptions {
  organisation: string;
  scope: Scope;
  kind: OrganisationKind;
  timeZone?: string;
  language?: string;
}

/** `foldkeep key`: a new key for an organisation, printed alone and never again. */
export function keyCommand(door: Door): Command {
  return new Command('key')
    .description('make a key for an organisation (and the organisation, if its name is new)')
    .requiredOption('--organisation <name>', 'name of the organisation')
    .addOption(new Option('--scope <scope>', 'what the key may do').choices(SCOPES).default('full'))
    .addOption(
      new Option('--kind <kind>', 'kind of a new organisation')
        .choices(['shop', 'club', 'private'])
        .default('shop'),
    )
    .option('--time-zone <zone>', 'zone of a new organisation')
    .option('--language <tag>', 'language of a new organisation')
    .action(async (options: KeyOptions) => {
      const { organisation: name, scope, kind, timeZone, language } = options;
      if (timeZone !== undefined && !isZone(timeZone)) {
        throw invalid('--time-zone', 'Give an IANA time zone name, such as Europe/London.');
      }
      await withContext(door, async (context) => {
        const { key } = await makeKey(
          context,
          {
            name,
            kind,
            ...(timeZone === undefined ? {} : { timeZone }),
            ...(language === undefined ? {} : { language }),
          },
          scope,
        );
        say(key);
      });
    });
}
