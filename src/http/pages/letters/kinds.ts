import type { FastifyInstance } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import { notFound } from '../../../domain/refusal.ts';
import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import { LETTER_KINDS } from '../../../domain/round/letter-kind.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { listWording } from '../../../usecases/organisations/letter-wording.ts';
import type { WordingWish } from '../../../usecases/organisations/letter-wordings.ts';
import { ownWordsOf, saveWordings } from '../../../usecases/organisations/letter-wordings.ts';
import { letterLanguages } from '../../../usecases/organisations/preview-letters.ts';
import { previewFromRecords } from '../../../usecases/organisations/preview-records.ts';
import { LETTER_HEADERS } from '../../gate/safe-headers.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { textIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { letterKindSheet, letterKindsSheet, SLOTS } from './kinds-sheet.ts';

const LARGEST = 16 * 1024;

/** How each kind of letter looks with one's own records, and what it says; tried before it is kept. */
export function letterKindPages(app: FastifyInstance, context: Context): void {
  const page = async (
    { caller, voice }: { readonly caller: Visitor; readonly voice: Voice },
    asked: { kind: LetterKind; language: string; carId?: string | undefined },
    state: { sent?: Sent | null; done?: boolean; own?: Readonly<Record<string, string>> } = {},
  ) => {
    const preview = await previewFromRecords(context, caller, asked, state.own);
    const { items } = await listWording(context, caller, asked);
    const view = {
      keeps: hasRight(caller, 'manage-organisation'),
      done: state.done ?? false,
      tried: state.own !== undefined,
      once: freshOnce(),
      sent: state.sent ?? null,
      languages: letterLanguages(),
    };
    return renderFor(caller, 'letter-kind', ...letterKindSheet(preview, items, view, voice));
  };
  const askedIn = (id: string, form: SmallForm) => ({
    kind: kindNamed(id),
    language: languageNamed(textIn(form, 'in')),
    carId: textIn(form, 'car'),
  });
  showPage(app, context, '/letter-kinds', async ({ caller, voice }) =>
    renderFor(caller, 'letter-kinds', ...letterKindsSheet(voice)),
  );
  showPage(
    app,
    context,
    '/letter-kinds/:id',
    (asking) => {
      const { id, query } = asking;
      return page(
        asking,
        { kind: kindNamed(id), language: languageNamed(query('in')), carId: query('car') },
        { done: query('done') === 'kept' },
      );
    },
    'read-records',
    LETTER_HEADERS,
  );
  const common = {
    needs: 'manage-organisation',
    largest: LARGEST,
    helmet: LETTER_HEADERS,
  } as const;
  answerForm(app, context, {
    ...common,
    path: '/letter-kinds/:id/try',
    record: async (sending) => {
      const { caller, params, form } = sending;
      const asked = askedIn(params.id, form);
      const wish = wishIn(form);
      const own = ownWordsOf(asked.kind, wish);
      if (textIn(form, 'deed') === 'keep') {
        await saveWordings(context, caller, asked, wish);
        const car = asked.carId === undefined ? '' : `&car=${asked.carId}`;
        return { to: `/letter-kinds/${asked.kind}?in=${asked.language}${car}&done=kept` };
      }
      const sent = { typed: form, faults: [] };
      return { page: await page(sending, asked, { own, sent }) };
    },
    show: (sending, sent) => page(sending, askedIn(sending.params.id, sending.form), { sent }),
  });
}

function wishIn(form: SmallForm): WordingWish {
  return Object.fromEntries(SLOTS.map((slot) => [slot, textIn(form, slot) ?? null]));
}

function kindNamed(name: string): LetterKind {
  const kind = LETTER_KINDS.find((one) => one === name);
  if (kind === undefined) throw notFound('letter');
  return kind;
}

function languageNamed(name: string | undefined): string {
  return letterLanguages().find((one) => one === name) ?? 'en';
}
