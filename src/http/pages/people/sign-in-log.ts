import type { FastifyInstance } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { listSignIns } from '../../../usecases/people/sign-in-log.ts';
import type { Frame } from '../frame/frame.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import type { SignInLine } from './sign-in-lines.ts';
import { signInLines } from './sign-in-lines.ts';

const LINES_A_PAGE = 50;

export interface SignInLogModel {
  readonly lines: readonly SignInLine[];
  readonly older: string;
}

/** Who signed in to an organisation, and which tries failed: for those who keep its people. */
export function signInLogPage(app: FastifyInstance, context: Context): void {
  showPage(
    app,
    context,
    '/sign-ins',
    async ({ caller, voice, query }) => {
      const { timeZone } = await showOrganisation(context, caller);
      const asked = { limit: LINES_A_PAGE, after: query('after') };
      const { items, next } = await listSignIns(context, caller, asked);
      const frame: Frame = {
        lang: voice.language,
        title: voice.say('sign-ins.title'),
        nav: { here: 'people' },
      };
      return renderFor(caller, 'sign-ins', frame, {
        lines: signInLines(items, timeZone, true, voice),
        older: next === null ? '' : `/sign-ins?after=${encodeURIComponent(next)}`,
      });
    },
    'keep-people',
  );
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'sign-ins': SignInLogModel;
  }
}
