import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { CLUB_LETTER_SUBJECT, CLUB_LETTER_TEXT } from '../../../domain/letters/club-letter.ts';
import {
  changeClubLetter,
  draftClubLetter,
  listClubLetters,
  withdrawClubLetter,
} from '../../../usecases/club/club-letters.ts';
import {
  previewClubLetter,
  readClubLetter,
  sendClubLetter,
} from '../../../usecases/club/send-club-letter.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { line, prose } from '../../../usecases/records/record-fields.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { readBy, textIn, versionIn } from '../shop/form-body.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { clubLetterSheet, clubLettersSheet } from './club-letter-sheet.ts';

// The longest text in an alphabet that takes nine bytes a letter.
const LARGEST = 64 * 1024;
const said = z.strictObject({
  subject: line(CLUB_LETTER_SUBJECT),
  text: prose(CLUB_LETTER_TEXT),
});

/** Letters of the club to the members who agreed: typed, looked at, sent and withdrawn. */
export function clubLetterPages(app: FastifyInstance, context: Context): void {
  const needs = 'keep-owners';
  const list = async (caller: Visitor, done: string | undefined, sent: Sent | null) =>
    renderFor(
      caller,
      'club-letters',
      ...clubLettersSheet(await listClubLetters(context, caller), {
        once: freshOnce(),
        sent,
        done,
      }),
    );
  const one = async (
    caller: Visitor,
    id: string,
    done: string | undefined,
    sent: { readonly action: string; readonly sent: Sent } | null,
  ) => {
    const reach = await readClubLetter(context, caller, id);
    const preview = await previewClubLetter(context, caller, id);
    const looking = { once: freshOnce(), sent, done };
    return renderFor(caller, 'club-letter', ...clubLetterSheet(reach, preview, looking));
  };
  showPage(
    app,
    context,
    '/club-letters',
    ({ caller, query }) => list(caller, query('done'), null),
    needs,
  );
  answerForm(app, context, {
    path: '/club-letters',
    needs,
    largest: LARGEST,
    record: async ({ caller, form }) => {
      const id = await draftClubLetter(context, caller, typed(form));
      return { to: `/club-letters/${id}?done=drafted` };
    },
    show: ({ caller }, sent) => list(caller, undefined, sent),
  });
  showPage(
    app,
    context,
    '/club-letters/:id',
    ({ caller, id, query }) => one(caller, id, query('done'), null),
    needs,
  );
  const again =
    (action: string) =>
    ({ caller, params: { id } }: Sending, sent: Sent) =>
      one(caller, id, undefined, { action, sent });
  const back = ({ params }: Sending) => `/club-letters/${params.id}`;
  answerForm(app, context, {
    path: '/club-letters/:id',
    needs,
    largest: LARGEST,
    record: async ({ caller, params: { id }, form }) => {
      await changeClubLetter(context, caller, id, typed(form), versionIn(form));
      return { to: `/club-letters/${id}?done=changed` };
    },
    show: again('change'),
  });
  answerForm(app, context, {
    path: '/club-letters/:id/send',
    needs,
    record: async ({ caller, params: { id }, form }) => {
      await sendClubLetter(context, caller, id, versionIn(form));
      return { to: `/club-letters/${id}?done=sent` };
    },
    show: again('send'),
    first: {
      always: true,
      heading: 'Send this letter?',
      button: 'Send it',
      words: async ({ caller, params: { id } }) => {
        const { letter, reached } = await readClubLetter(context, caller, id);
        return [
          `“${letter.subject}” goes to ${reached.length === 1 ? 'one member' : `${reached.length} members`}, each once.`,
          'It leaves within the hours of letters, on a day on which the member gets no other. Until it has left you can withdraw it.',
        ];
      },
      back,
    },
  });
  answerForm(app, context, {
    path: '/club-letters/:id/withdraw',
    needs,
    record: async ({ caller, params: { id }, form }) => {
      await withdrawClubLetter(context, caller, id, versionIn(form));
      return { to: '/club-letters?done=withdrawn' };
    },
    show: again('withdraw'),
    first: {
      always: true,
      heading: 'Withdraw this letter?',
      button: 'Withdraw it',
      words: () => ['What has not left yet does not leave. What has left cannot be called back.'],
      back,
    },
  });
}

function typed(form: SmallForm) {
  return readBy(said, { subject: textIn(form, 'subject') ?? '', text: textIn(form, 'text') ?? '' });
}
