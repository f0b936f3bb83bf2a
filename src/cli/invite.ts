import { Command, Option } from 'commander';
import { invalid } from '../domain/refusal.ts';
import type { Role } from '../domain/people/rights.ts';
import { ROLES } from '../domain/people/rights.ts';
import { programCaller } from '../usecases/context/context.ts';
import { organisationIdOf } from '../usecases/organisations/organisations.ts';
import { invite } from '../usecases/people/invite.ts';
import { email as emailShape, line } from '../usecases/records/record-fields.ts';
import type { Door } from './door.ts';
import { withContext } from './door.ts';
import { say } from './voice.ts';

interface InviteOptions {
  organisation: string;
  email: string;
  name: string;
  role: Role;
}

/** `foldkeep invite`: a link by which somebody comes in, printed alone; for the first, or when all is lost. */
export function inviteCommand(door: Door): Command {
  return new Command('invite')
    .description('print a link by which somebody signs in to an organisation as themselves')
    .requiredOption('--organisation <name>', 'name of the organisation')
    .requiredOption('--email <address>', 'address that they sign in with')
    .requiredOption('--name <name>', 'their name')
    .addOption(new Option('--role <role>', 'what they may do').choices(ROLES).default('manager'))
    .action(async ({ organisation, email, name, role }: InviteOptions) => {
      if (!emailShape.safeParse(email).success) {
        throw invalid('--email', 'Give one plain address, such as name@example.org.');
      }
      if (!line(100).safeParse(name).success) throw invalid('--name', 'Give a name of one line.');
      await withContext(door, async (context) => {
        const caller = programCaller(await organisationIdOf(context, organisation), 'invite');
        const { url } = await invite(context, caller, { name, email, role }, null);
        say(url ?? '');
      });
    });
}
