import { CLUB_LETTER_SUBJECT } from '../../../domain/letters/club-letter.ts';
import type { NotReached } from '../../../domain/letters/club-letter.ts';
import type { ClubLetterRecord } from '../../../usecases/club/club-letters.ts';
import type { ClubLetterReach } from '../../../usecases/club/send-club-letter.ts';
import { localeOf } from '../../../views/words/locale.ts';
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
  readonly version: string;
  readonly reachedWords: string;
  readonly reached: readonly { readonly href: string; readonly name: string }[];
  readonly notReached: readonly {
    readonly why: string;
    readonly members: readonly { readonly href: string; readonly name: string }[];
  }[];
  /** What was refused, of whichever of its forms. */
  readonly came: FormModel;
  readonly send: FormModel | null;
  readonly withdraw: FormModel | null;
  /** How it reads to the first whom it reaches, line by line; empty where it reaches nobody. */
  readonly preview: readonly string[];
}

interface Looking<S> {
  readonly once: string;
  readonly sent: S | null;
  readonly done: string | undefined;
}

const EN = localeOf('en-GB');

const DONE: Readonly<Record<string, string>> = {
  drafted: 'Kept as a draft. Nobody was written to.',
  changed: 'Kept. Nobody was written to.',
  sent: 'On its way: each member whom it reaches gets it once.',
  withdrawn: 'Withdrawn. What had not left does not leave.',
};

const WHY: Readonly<Record<NotReached, string>> = {
  'has-it': 'It was written to them already',
  'not-agreed':
    'Have not agreed to letters of the club, or stopped them. They agree themselves, on the page behind “Choose which letters you get” at the foot of each letter',
  unreachable: 'Letters do not arrive at their address',
  'no-car': 'No car of theirs is on record',
  'must-stay':
    'A top of theirs must not be moved before it is repaired. Nobody can tell what a letter to all asks to be moved, so it does not go to them',
  'same-address': 'Somebody else of the same address gets it',
};

/** The letters of the club, and the form for a new one. */
export function clubLettersSheet(
  letters: readonly ClubLetterRecord[],
  { once, sent, done }: Looking<Sent>,
): [Frame, ClubLettersModel] {
  const fields = textFields(sent, { subject: '', text: '' });
  return [
    { lang: 'en', title: 'Letters to all', nav: { here: 'members' } },
    {
      done: DONE[done ?? ''] ?? '',
      form: formOf('/club-letters', once, sent, fields),
      fields,
      letters: letters.map((letter) => ({
        href: `/club-letters/${letter.id}`,
        subject: letter.subject,
        words: standingOf(letter),
      })),
    },
  ];
}

/** One letter of the club: its words, whom it reaches, who does not get it and why. */
export function clubLetterSheet(
  { letter, reached, notReached, left, waiting }: ClubLetterReach,
  preview: { readonly subject: string; readonly text: string } | null,
  { once, sent, done }: Looking<{ readonly action: string; readonly sent: Sent }>,
): [Frame, ClubLetterModel] {
  const own = `/club-letters/${letter.id}`;
  const typed = sent?.action === 'change' ? sent.sent : null;
  const fields = textFields(typed, letter);
  const over = letter.withdrawnAt !== null;
  const reasons = [...new Set(notReached.map(({ why }) => why))];
  const linked = (members: readonly { readonly ownerId: string; readonly name: string }[]) =>
    members.map(({ ownerId, name }) => ({ href: `/owners/${ownerId}`, name }));
  return [
    { lang: 'en', title: 'A letter to all', nav: { here: 'members' } },
    {
      heading: letter.subject,
      done: DONE[done ?? ''] ?? '',
      standing: [
        standingOf(letter),
        ...(letter.sentAt === null ? [] : [`${left} left, ${waiting} wait`]),
      ].join('; '),
      change:
        letter.sentAt === null && !over ? { ...formOf(own, once, typed, fields), fields } : null,
      version: String(letter.version),
      came: formOf(own, once, sent?.sent ?? null, typed === null ? [] : fields),
      reachedWords: reachedWords(reached.length, letter.sentAt !== null),
      reached: linked(reached),
      notReached: reasons.map((why) => ({
        why: WHY[why],
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
  said: { readonly subject: string; readonly text: string },
): FieldModel[] {
  return [
    field(sent, 'subject', 'Subject', {
      value: said.subject,
      needed: true,
      hint: `It shows on locked screens: ${CLUB_LETTER_SUBJECT} characters at the most, and nothing of whose car stands where.`,
    }),
    field(sent, 'text', 'What you write', {
      value: said.text,
      area: true,
      hint: 'Plain text; a blank line begins a paragraph. Greeting, your name and the way to stop such letters stand round it by themselves, in each member’s language.',
    }),
  ];
}

function standingOf({ sentAt, withdrawnAt }: ClubLetterRecord): string {
  if (withdrawnAt !== null) return `withdrawn on ${EN.day(withdrawnAt.slice(0, 10))}`;
  return sentAt === null ? 'draft' : `sent on ${EN.day(sentAt.slice(0, 10))}`;
}

function reachedWords(count: number, again: boolean): string {
  const members = count === 1 ? 'one member' : `${count} members`;
  if (count === 0) return again ? 'It would reach nobody else now.' : 'It would reach nobody now.';
  return again ? `Sent again it would reach ${members} more.` : `It would reach ${members}.`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'club-letters': ClubLettersModel;
    readonly 'club-letter': ClubLetterModel;
  }
}
