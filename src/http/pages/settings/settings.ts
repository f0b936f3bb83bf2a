import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import { organisationFields } from '../../../usecases/records/organisation-fields.ts';
import { changeOrganisation } from '../../../usecases/settings/change-organisation.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { isTicked, numberIn, readBy, textIn, versionIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { settingsSheet } from './settings-sheet.ts';

const LARGEST = 8 * 1024;
// A picture is handed in elsewhere; a form that shows none must not take it away.
const { logo: _, ...fields } = organisationFields;
const whole = z.strictObject(fields);

/** The organisation's own settings: what it is called, how it is reached, when its letters leave. */
export function settingsPages(app: FastifyInstance, context: Context): void {
  const page = async (
    { caller, voice }: { readonly caller: Visitor; readonly voice: Voice },
    done: string | undefined,
    sent: Sent | null,
  ) => {
    const view = {
      keeps: hasRight(caller, 'manage-organisation'),
      done,
      once: freshOnce(),
      sent,
    };
    const organisation = await showOrganisation(context, caller);
    return renderFor(caller, 'settings', ...settingsSheet(organisation, view, voice));
  };
  showPage(app, context, '/settings', (asking) => page(asking, asking.query('done'), null));
  answerForm(app, context, {
    path: '/settings',
    needs: 'manage-organisation',
    largest: LARGEST,
    record: async ({ caller, form }) => {
      const typed = readBy(whole, {
        name: textIn(form, 'name') ?? '',
        kind: textIn(form, 'kind'),
        timeZone: textIn(form, 'timeZone') ?? '',
        language: textIn(form, 'language') ?? '',
        postalAddress: textIn(form, 'postalAddress') ?? null,
        phone: textIn(form, 'phone') ?? null,
        email: textIn(form, 'email') ?? null,
        letterHours: {
          from: numberIn(form, 'letterHours/from'),
          to: numberIn(form, 'letterHours/to'),
        },
        nightAlarms: isTicked(form, 'nightAlarms'),
        // Whoever keeps her own cars gets letters about them, and is not asked.
        dailyMail: isTicked(form, 'dailyMail') || textIn(form, 'kind') === 'private',
      });
      await changeOrganisation(context, caller, typed, versionIn(form));
      return { to: '/settings?done=changed' };
    },
    show: (sending, sent) => page(sending, undefined, sent),
  });
}
