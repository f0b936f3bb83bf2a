import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { topicOf } from '../../domain/round/letter-kind.ts';
import type { NewOccasion, WholeLetter } from '../../store/letters/letter-rows.ts';
import type { LinkRow } from '../../store/letters/link-rows.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import type { WrittenLetter as Words } from '../../views/letters/render.ts';
import type { Overrides } from '../../views/letters/slots.ts';
import type { Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import { newId } from '../context/new-id.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { wordsLanguage } from '../organisations/own-style.ts';

/** A letter written out and not yet stored. */
export interface WrittenLetter {
  readonly letter: WholeLetter;
  readonly occasions: readonly NewOccasion[];
  readonly links: readonly LinkRow[];
}

/** What every letter model holds, whatever its kind. */
export type LetterBase = Omit<LetterModel<'care-note'>, 'cars' | 'advice' | 'also'>;

/** A letter that is to be written, apart from its words. */
export interface LetterPlan {
  /** A car of the owner who gets it, in the care of the organisation that it comes from. */
  readonly car: Pick<CarFacts, 'owner' | 'organisation'>;
  /** The cars that the letter is about, with whether their tops may be moved. */
  readonly cars: readonly Pick<CarFacts, 'registration' | 'mayMove'>[];
  readonly kind: LetterKind;
  /** The first moment at which it may leave, which is its Date. */
  readonly notBefore: Instant;
  readonly occasions: readonly NewOccasion[];
  /** The column that delivery reads: an object for the owner's calendar as JSON. */
  readonly calendar?: string;
  /** Message-IDs of the letters on the same matter that have left before, oldest first. */
  readonly earlier?: readonly string[];
  /** Links that its words hold besides the ones that every letter has. */
  readonly links?: readonly LinkRow[];
}

// A mailbox needs the last of them; RFC 5322 lets long lists be cut.
const MOST_EARLIER = 20;

type Writer = (base: LetterBase, own: Overrides) => Words;

/**
 * Puts a letter together round the words that `write` gives it: sender, reader, links, Message-ID and
 * Date, and the organisation's own wording in the language of the letter.
 */
export function composeLetter(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  { car, cars, kind, notBefore, occasions, calendar, earlier = [], links = [] }: LetterPlan,
  at: Instant,
  ownStyle: OwnStyle,
  write: Writer,
): WrittenLetter {
  const { owner, organisation } = car;
  const topic = topicOf(kind);
  const whose = { organisationId: organisation.id, ownerId: owner.id };
  const stop =
    topic === null
      ? null
      : newLink(context.publicUrl, at, { ...whose, purpose: 'stop', carId: null, subject: topic });
  const page = newLink(context.publicUrl, at, {
    ...whose,
    purpose: 'owner-page',
    carId: null,
    subject: null,
  });
  const adviceUrl = `${context.publicUrl}/advice?in=${wordsLanguage(owner.language)}`;
  const base = {
    language: owner.language,
    organisation: {
      name: organisation.name,
      kind: organisation.kind,
      postalAddress: organisation.postalAddress,
      phone: organisation.phone,
      logo: ownStyle.logo(organisation.id),
    },
    owner: { name: owner.name },
    links: {
      preferences: stop?.url ?? null,
      stop: stop?.url ?? null,
      owner: page.url,
      advice: adviceUrl,
      privacy: `${context.publicUrl}/privacy/${organisation.id}`,
    },
    timeZone: owner.timeZone,
    today: dayIn(owner.timeZone, notBefore),
    moves: cars.flatMap(moveWordOf),
  };
  const written = write(base, ownStyle.words(organisation.id, owner.language, kind));
  const id = newId();
  return {
    letter: {
      id,
      organisationId: organisation.id,
      ownerId: owner.id,
      kind,
      state: 'planned',
      cancelledWhy: null,
      language: owner.language,
      toName: owner.name,
      toAddress: owner.email,
      addressHash: owner.addressHash,
      topic: topic ?? 'work',
      subject: written.subject,
      text: written.text,
      html: written.html,
      stopUrl: stop?.url ?? null,
      calendar: calendar ?? null,
      messageId: `<${id}@${context.mailDomain}>`,
      messageDate: notBefore,
      refersTo: earlier.length === 0 ? null : earlier.slice(-MOST_EARLIER).join(' '),
      plannedAt: at,
      notBefore,
      attempts: 0,
      nextTryAt: notBefore,
      leaseUntil: null,
      leaseToken: null,
      leaseHolder: null,
      firstTriedAt: null,
      startedAt: null,
      settledAt: null,
      resends: 0,
      response: null,
      fault: null,
    },
    occasions,
    links: [...(stop === null ? [] : [stop.row]), page.row, ...links],
  };
}

/** What a letter must say of a top that may not be moved freely; nothing of one that may. */
function moveWordOf({
  registration,
  mayMove: { verdict, reasons, how, repairOn, powered },
}: Pick<CarFacts, 'registration' | 'mayMove'>) {
  if (verdict === 'free') return [];
  return [
    {
      registration,
      verdict,
      reasons: reasons.map(({ sign, pivot, fault }) => ({ sign, pivot, fault })),
      how: [...how],
      repairOn,
      powered,
    },
  ];
}
