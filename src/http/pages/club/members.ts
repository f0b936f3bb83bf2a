import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import { readMembers } from '../../../usecases/club/members.ts';
import { readPatternFaults } from '../../../usecases/club/pattern-faults.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { membersSheet } from './members-sheet.ts';
import { patternFaultsSheet } from './pattern-faults-sheet.ts';

const LONGEST_SEARCH = 100;

/** The front page of a club: its members and their cars; and what is found on their frames. */
export function memberPages(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/members', async ({ caller, query, voice }) => {
    const search = (query('q') ?? '').trim().slice(0, LONGEST_SEARCH);
    const asked = query('month') ?? '';
    const month = /^\d{4}-\d{2}$/.test(asked) ? asked : '';
    const record = await readMembers(context, caller, { search, month });
    const keeps = hasRight(caller, 'keep-owners');
    return renderFor(caller, 'members', ...membersSheet(record, { search, month, keeps }, voice));
  });
  showPage(app, context, '/pattern-faults', async ({ caller, voice }) =>
    renderFor(
      caller,
      'pattern-faults',
      ...patternFaultsSheet(await readPatternFaults(context, caller), voice),
    ),
  );
}
