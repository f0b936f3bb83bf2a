import type { Instant } from '../../../domain/calendar/instant.ts';
import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import type { BookedLetterRecord, LetterHeap } from '../../../usecases/letters/letter-book.ts';
import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
import type { LetterRecord } from '../../../usecases/letters/read-letters.ts';
import { isInTray } from '../../../usecases/letters/read-letters.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { kindWords, standingOf } from './letter-words.ts';

interface Choice {
  readonly href: string;
  readonly words: string;
  readonly chosen: boolean;
}

export interface LettersModel {
  /** Whose letters; empty where they are everybody's. */
  readonly owner: string;
  /** Whether whoever reads this makes estimates. */
  readonly estimates: boolean;
  readonly ownerHref: string;
  readonly heaps: readonly Choice[];
  readonly letters: readonly {
    readonly href: string;
    readonly subject: string;
    readonly language: string;
    readonly kind: string;
    readonly to: string;
    readonly toHref: string;
    readonly mark: string;
    readonly state: string;
    readonly when: string;
    readonly why: string;
  }[];
  readonly next: string | null;
}

export interface LetterModel {
  readonly subject: string;
  readonly language: string;
  readonly html: string;
  readonly text: string;
  readonly facts: readonly { readonly name: string; readonly words: string }[];
  readonly ownerHref: string;
  readonly cars: readonly string[];
}

const HEAPS: readonly (LetterHeap | 'all')[] = ['all', 'waiting', 'sent', 'stuck', 'withdrawn'];

/** How the book of letters is looked at. */
export interface LettersView {
  readonly heap: LetterHeap | undefined;
  readonly ownerId: string | undefined;
  readonly timeZone: string;
  readonly now: Instant;
  /** No mail server is set: what leaves goes into the mail tray. */
  readonly tray: boolean;
  readonly kind: OrganisationKind;
}

/** The letters of an organisation, the newest first. */
export function lettersSheet(
  items: readonly BookedLetterRecord[],
  next: string | null,
  owner: string | null,
  { heap, ownerId, timeZone, now, tray, kind }: LettersView,
  voice: Voice,
): [Frame, LettersModel] {
  const { say } = voice;
  const when = (at: Instant) => voice.moment(at, timeZone, now);
  const href = (changes: Record<string, string | undefined>) =>
    addressOf({ heap, owner: ownerId, ...changes });
  const heaps = HEAPS.map((name) => ({
    href: href({ heap: name === 'all' ? undefined : name }),
    words: say(`letters.heap.${name === 'sent' && tray ? 'sent.tray' : name}`),
    chosen: (heap ?? 'all') === name,
  }));
  const model: LettersModel = {
    owner: owner ?? '',
    estimates: kind !== 'private',
    ownerHref: ownerId === undefined ? '' : `/owners/${ownerId}`,
    heaps,
    letters: items.map((item) => ({
      href: `/letters/${item.id}`,
      subject: item.subject,
      language: item.language,
      kind: kindWords(voice, item.kind),
      to: item.toName,
      toHref: `/letters?owner=${item.ownerId}`,
      mark: standingOf(voice, item.state, item.inTray).mark,
      state: standingOf(voice, item.state, item.inTray).words,
      when: whenOf(item, when, voice),
      why: voice.tell(item.why ?? ''),
    })),
    next: next === null ? null : href({ after: next }),
  };
  return [{ lang: voice.language, title: say('letters.title'), nav: { here: 'letters' } }, model];
}

function addressOf(query: Record<string, string | undefined>): string {
  const given = Object.entries(query).filter(
    (pair): pair is [string, string] => pair[1] !== undefined,
  );
  return given.length === 0 ? '/letters' : `/letters?${new URLSearchParams(given).toString()}`;
}

type Told = Pick<
  BookedLetterRecord,
  'state' | 'plannedAt' | 'notBefore' | 'nextTryAt' | 'settledAt' | 'attempts'
>;

function whenOf(letter: Told, when: (at: Instant) => string, { say, count }: Voice): string {
  const { state, plannedAt, notBefore, nextTryAt, settledAt, attempts } = letter;
  if (settledAt !== null) return when(settledAt);
  if (state !== 'planned') return say('letters.since', { when: when(plannedAt) });
  const next = when(nextTryAt !== null && nextTryAt > notBefore ? nextTryAt : notBefore);
  return attempts > 0
    ? count('letters.tried', attempts, { when: next })
    : say('letters.leaves', { when: next });
}

/** One letter: how it looks, how it stands and why. */
export function letterSheet(
  letter: LetterRecord,
  cars: readonly { readonly id: string; readonly registration: string }[],
  { timeZone, now }: Pick<LettersView, 'timeZone' | 'now'>,
  voice: Voice,
): [Frame, LetterModel] {
  const { say, tell } = voice;
  const when = (at: Instant) => voice.moment(at, timeZone, now);
  const fact = (name: string, words: string | null) => (words === null ? [] : [{ name, words }]);
  const { state, kind, to, attempts } = letter;
  const inTray = isInTray(letter);
  const { mark, words } = standingOf(voice, state, inTray);
  return [
    { lang: voice.language, title: say('letters.one.title'), nav: { here: 'letters' } },
    {
      subject: letter.subject,
      language: letter.language,
      html: letter.html,
      text: letter.text,
      facts: [
        ...fact(say('letters.fact.to'), `${to.name}, ${to.address}`),
        ...fact(say('letters.fact.about'), aboutOf(kind, cars, voice)),
        ...fact(say('letters.fact.state'), `${mark} ${words}`),
        ...fact(say('letters.fact.written'), when(letter.plannedAt)),
        ...fact(
          say(`letters.fact.${letter.settledAt === null ? 'next' : 'ended'}`),
          whenOf(letter, when, voice),
        ),
        ...fact(say('letters.fact.tries'), attempts === 0 ? null : String(attempts)),
        ...fact(
          say('letters.fact.why'),
          letter.cancelledWhy === null ? null : tell(letter.cancelledWhy),
        ),
        ...fact(say('letters.fact.fault'), letter.fault === null ? null : tell(letter.fault)),
        ...fact(say('letters.fact.server'), inTray ? say('letters.server.none') : letter.response),
      ],
      ownerHref: `/letters?owner=${letter.ownerId}`,
      cars: cars.map(({ id }) => `/cars/${id}`),
    },
  ];
}

function aboutOf(
  kind: LetterKind,
  cars: readonly { readonly registration: string }[],
  voice: Voice,
): string {
  return [kindWords(voice, kind), ...cars.map(({ registration }) => registration)].join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly letters: LettersModel;
    readonly letter: LetterModel;
  }
}
