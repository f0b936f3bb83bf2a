import { CLUB_LETTER_SUBJECT, paragraphsOf } from '../../../domain/letters/club-letter.ts';
import type { ClubLetterRecord } from '../../../usecases/club/club-letters.ts';
import type { ClubLetterReach } from '../../../usecases/club/send-club-letter.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

export interface ClubLettersModel {
  readonly done: string;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
  readonly letters: readonly {
    readonly href: string;
    readonly subject: string;
    readonly words: string;
  }[];
}

export interface ClubLetterModel {
  readonly heading: string;
  readonly done: string;
  readonly standing: string;
  /** Null for one that was sent or withdrawn: its words stay as they are. */
  readonly change: (FormModel & { readonly fields: readonly FieldModel[] }) | null;
  /** How one that was sent or withdrawn stood, to be read, and by which it is the draft of a new one; null for a draft. */
  readonly stood: { readonly paragraphs: readonly string[]; readonly again: FormModel } | null;
  readonly version: string;
  readonly reachedWords: string;
  readonly reached: readonly { readonly href: string; readonly name: string }[];
  readonly notReached: readonly {
    readonly heading: string;
    readonly members: readonly { readonly href: string; readonly name: string }[];
  }[];
  /** What was refused, of whichever of its forms. */
  readonly came: FormModel;
  readonly send: FormModel | null;
  readonly withdraw: FormModel | null;
  /** How it reads to the first whom it reaches, line by line; empty where it reaches nobody. */
  readonly preview: readonly string[];
}

interface View<S> {
  readonly once: string;
  readonly sent: S | null;
  readonly done: string | undefined;
}

const CAME = ['drafted', 'again', 'changed', 'sent', 'withdrawn'];

function doneWords(done: string | undefined, { say }: Voice): string {
  return done !== undefined && CAME.includes(done) ? say(`club-letter.done.${done}`) : '';
}

/** The letters of the club, and the form for a new one. */
export function clubLettersSheet(
  letters: readonly ClubLetterRecord[],
  { once, sent, done }: View<Sent>,
  voice: Voice,
): [Frame, ClubLettersModel] {
  const fields = textFields(sent, { subject: '', text: '' }, voice);
  return [
    { lang: voice.language, title: voice.say('club-letter.list'), nav: { here: 'members' } },
    {
      done: doneWords(done, voice),
      form: formOf('/club-letters', once, sent, fields),
      fields,
      letters: letters.map((letter) => ({
        href: `/club-letters/${letter.id}`,
        subject: letter.subject,
        words: standingOf(letter, voice),
      })),
    },
  ];
}

/** One letter of the club: its words, whom it reaches, who does not get it and why. */
export function clubLetterSheet(
  { letter, reached, notReached, left, waiting }: ClubLetterReach,
  preview: { readonly subject: string; readonly text: string } | null,
  { once, sent, done }: View<{ readonly action: string; readonly sent: Sent }>,
  voice: Voice,
): [Frame, ClubLetterModel] {
  const { say } = voice;
  const own = `/club-letters/${letter.id}`;
  const typed = sent?.action === 'change' ? sent.sent : null;
  const fields = textFields(typed, letter, voice);
  const over = letter.withdrawnAt !== null;
  const reasons = [...new Set(notReached.map(({ why }) => why))];
  const linked = (members: readonly { readonly ownerId: string; readonly name: string }[]) =>
    members.map(({ ownerId, name }) => ({ href: `/owners/${ownerId}`, name }));
  return [
    { lang: voice.language, title: say('club-letter.title'), nav: { here: 'members' } },
    {
      heading: letter.subject,
      done: doneWords(done, voice),
      standing: [
        standingOf(letter, voice),
        ...(letter.sentAt === null
          ? []
          : [
              say('club-letter.copies', {
                left: voice.locale.number(left),
                waiting: voice.locale.number(waiting),
              }),
            ]),
      ].join('; '),
      change:
        letter.sentAt === null && !over ? { ...formOf(own, once, typed, fields), fields } : null,
      stood:
        letter.sentAt === null && !over
          ? null
          : {
              paragraphs: paragraphsOf(letter.text),
              again: formOf(`${own}/again`, once, null, []),
            },
      version: String(letter.version),
      came: formOf(own, once, sent?.sent ?? null, typed === null ? [] : fields),
      reachedWords: reachedWords(reached.length, letter.sentAt !== null, voice),
      reached: linked(reached),
      notReached: reasons.map((why) => ({
        heading: say('club-letter.group', {
          count: voice.locale.number(notReached.filter((one) => one.why === why).length),
          why: say(`club-letter.why.${why}`),
        }),
        members: linked(notReached.filter((one) => one.why === why)),
      })),
      send: over || reached.length === 0 ? null : formOf(`${own}/send`, once, null, []),
      withdraw: over ? null : formOf(`${own}/withdraw`, once, null, []),
      preview: preview === null || over ? [] : preview.text.trimEnd().split('\n'),
    },
  ];
}

function textFields(
  sent: Sent | null,
  letter: { readonly subject: string; readonly text: string },
  { say, locale }: Voice,
): FieldModel[] {
  return [
    field(sent, 'subject', say('club-letter.subject'), {
      value: letter.subject,
      needed: true,
      hint: say('club-letter.subject.hint', { most: locale.number(CLUB_LETTER_SUBJECT) }),
    }),
    field(sent, 'text', say('club-letter.text'), {
      value: letter.text,
      area: true,
      hint: say('club-letter.text.hint'),
    }),
  ];
}

function standingOf({ sentAt, withdrawnAt }: ClubLetterRecord, voice: Voice): string {
  const on = (at: string) => ({ day: voice.day(at.slice(0, 10)) });
  if (withdrawnAt !== null) return voice.say('club-letter.withdrawn', on(withdrawnAt));
  return sentAt === null
    ? voice.say('club-letter.draft')
    : voice.say('club-letter.sent', on(sentAt));
}

function reachedWords(reached: number, again: boolean, { say, count }: Voice): string {
  if (reached === 0) return say(again ? 'club-letter.reach.none-more' : 'club-letter.reach.none');
  return count(again ? 'club-letter.reach.more' : 'club-letter.reach', reached);
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'club-letters': ClubLettersModel;
    readonly 'club-letter': ClubLetterModel;
  }
}
