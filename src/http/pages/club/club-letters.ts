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
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import type { SmallForm } from '../frame/small-form.ts';
import { readBy, textIn, versionIn } from '../shop/form-body.ts';
import type { Sending } from '../shop/shop-form.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { clubLetterSheet, clubLettersSheet } from './club-letter-sheet.ts';

// The longest text in an alphabet that takes nine bytes a letter.
const LARGEST = 64 * 1024;
const typedLetter = z.strictObject({
  subject: line(CLUB_LETTER_SUBJECT),
  text: prose(CLUB_LETTER_TEXT),
});

/** Letters of the club to the members who agreed: typed, looked at, sent and withdrawn. */
export function clubLetterPages(app: FastifyInstance, context: Context): void {
  const needs = 'keep-owners';
  const list = async (caller: Visitor, voice: Voice, done: string | undefined, sent: Sent | null) =>
    renderFor(
      caller,
      'club-letters',
      ...clubLettersSheet(
        await listClubLetters(context, caller),
        { once: freshOnce(), sent, done },
        voice,
      ),
    );
  const one = async (
    caller: Visitor,
    voice: Voice,
    id: string,
    done: string | undefined,
    sent: { readonly action: string; readonly sent: Sent } | null,
  ) => {
    const reach = await readClubLetter(context, caller, id);
    const preview = await previewClubLetter(context, caller, id);
    const view = { once: freshOnce(), sent, done };
    return renderFor(caller, 'club-letter', ...clubLetterSheet(reach, preview, view, voice));
  };
  showPage(
    app,
    context,
    '/club-letters',
    ({ caller, voice, query }) => list(caller, voice, query('done'), null),
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
    show: ({ caller, voice }, sent) => list(caller, voice, undefined, sent),
  });
  showPage(
    app,
    context,
    '/club-letters/:id',
    ({ caller, voice, id, query }) => one(caller, voice, id, query('done'), null),
    needs,
  );
  const again =
    (action: string) =>
    ({ caller, voice, params: { id } }: Sending, sent: Sent) =>
      one(caller, voice, id, undefined, { action, sent });
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
      heading: ({ voice }) => voice.say('club-letter.sure.send'),
      button: ({ voice }) => voice.say('club-letter.send'),
      words: async ({ caller, voice, params: { id } }) => {
        const { letter, reached } = await readClubLetter(context, caller, id);
        return [
          voice.count('club-letter.sure.goes', reached.length, { subject: letter.subject }),
          voice.say('club-letter.sure.when'),
        ];
      },
      back,
    },
  });
  answerForm(app, context, {
    path: '/club-letters/:id/again',
    needs,
    record: async ({ caller, params: { id } }) => {
      const { letter } = await readClubLetter(context, caller, id);
      const { subject, text } = letter;
      return {
        to: `/club-letters/${await draftClubLetter(context, caller, { subject, text })}?done=again`,
      };
    },
    show: again('again'),
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
      heading: ({ voice }) => voice.say('club-letter.sure.withdraw'),
      button: ({ voice }) => voice.say('club-letter.withdraw'),
      words: ({ voice }) => [voice.say('club-letter.sure.withdraw.words')],
      back,
    },
  });
}

function typed(form: SmallForm) {
  return readBy(typedLetter, {
    subject: textIn(form, 'subject') ?? '',
    text: textIn(form, 'text') ?? '',
  });
}
