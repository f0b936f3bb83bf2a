import { unbroken } from '../frame/phone-words.ts';
import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
import type { Caution } from '../../../domain/cautions/cautions.ts';
import { cautionsFor } from '../../../domain/cautions/cautions.ts';
import type { Instant } from '../../../domain/calendar/instant.ts';
import type { Frame } from '../frame/frame.ts';
import { type StayWords, stayWords } from '../../../views/letters/stay.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import { type OwnerSent, sentInWords } from './entry-form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { OwnerCarFacts, OwnerCarModel } from './owner-car-sheet.ts';
import { ownerCarSheet } from './owner-car-sheet.ts';

export interface OwnerPageFacts {
  readonly now: Instant;
  readonly organisation: {
    readonly id: string;
    readonly name: string;
    readonly kind: OrganisationKind;
    readonly phone: string | null;
  };
  readonly owner: { readonly name: string };
  readonly restHours: number;
  readonly givesData: boolean;
  readonly cars: readonly OwnerCarFacts[];
}

interface Link {
  readonly href: string;
  readonly words: string;
}

export interface OwnerModel {
  readonly say: Voice['say'];
  readonly base: string;
  readonly hello: string;
  readonly done: string | null;
  /** What kept a form from being recorded, and where it stands; null where nothing did. */
  readonly wrong: { readonly words: string; readonly href: string } | null;
  readonly card: string | null;
  readonly add: Link | null;
  readonly cars: readonly (OwnerCarModel & { readonly more: readonly Link[] })[];
  /** What to do at every fold; not shown beside a top that must not be moved. */
  readonly careAtFolds: boolean;
  readonly cautions: readonly { readonly hazard: string; readonly show: string }[];
  readonly firstCaution: string;
  readonly organisation: { readonly name: string; readonly phone: string | null };
  /** All that is held about her; empty where the door gives it to nobody. */
  readonly data: string;
  readonly privacy: string;
}

/** What a button on the page has just done. */
export const OWNER_DONE = [
  'folded',
  'raised',
  'laid-up',
  'withdrawn',
  'corrected',
  'oiled',
  'unoiled',
  'kept',
] as const;
export type OwnerDone = (typeof OWNER_DONE)[number];

/** How the page is looked at. */
export interface OwnerView {
  /** Its own path, under which its forms are sent. */
  readonly base: string;
  readonly done: OwnerDone | null;
  /** A form that could not be recorded; null where none came. */
  readonly sent: OwnerSent | null;
  /** The card to print; null where there is no link to print on it. */
  readonly card: string | null;
  /** A private owner is signed in, and leads the own records: whether they may be changed. */
  readonly records?: boolean;
}

/** The page of an owner. */
export function ownerSheet(
  facts: OwnerPageFacts,
  voice: Voice,
  { base, done, card, records, sent }: OwnerView,
): [Frame, OwnerModel] {
  const { organisation, owner, cars } = facts;
  const speech = voice.language === 'de' ? 'de' : 'en';
  const { first, cautions } = cautionsFor('operation');
  const stays = cars.some(({ clock }) => clock.mayMove.verdict === 'leave');
  const model: OwnerModel = {
    say: voice.say,
    base,
    hello: voice.say('owner.hello', { owner: owner.name }),
    done: doneWords(done, stays, voice),
    wrong: sent === null ? null : { words: sentInWords(sent, voice), href: placeOf(sent) },
    card,
    add: records === true ? { href: '/new', words: voice.say('mine.add') } : null,
    cars: cars.map((car) => ({
      ...ownerCarSheet(car, facts, voice, sent),
      more: records === undefined ? [] : moreOf(car, records, voice),
    })),
    careAtFolds: !stays,
    cautions: (stays ? [] : cautions.filter(isAbout(cars))).map(({ hazard, show }) => ({
      hazard: hazard[speech],
      show: show[speech],
    })),
    firstCaution: first[speech],
    data: facts.givesData ? `${base}/data` : '',
    privacy: `/privacy/${organisation.id}?language=${voice.language}`,
    organisation: {
      name: organisation.name,
      phone:
        organisation.kind === 'private' || organisation.phone === null
          ? null
          : unbroken(organisation.phone),
    },
  };
  return [{ lang: voice.language, title: voice.say('owner.title'), nav: null }, model];
}

// Taking back an entry asks for nothing; whatever else was noted beside such a top, it is to be left.
function doneWords(done: OwnerDone | null, stays: boolean, voice: Voice): string | null {
  if (done === null) return null;
  const asksNothing =
    done === 'withdrawn' || done === 'corrected' || done === 'unoiled' || done === 'kept';
  return voice.say(`owner.done.${stays && !asksNothing ? 'stay' : done}`);
}

/** What is to be said of those of an owner's tops that must not be moved; null where all may. */
export function stayOf({ cars, organisation }: OwnerPageFacts, voice: Voice): StayWords | null {
  const moves = cars.map(({ registration, clock }) => ({ registration, ...clock.mayMove }));
  return stayWords(moves, organisation, speakerOf(voice.language));
}

/** The time that is to be put right; the form as a whole has no place of its own. */
function placeOf({ time, entryId, carId }: OwnerSent): string {
  return time ? `#when-${entryId ?? carId}` : '';
}

/** What only a motor can do is told where there is one. */
function isAbout(cars: readonly OwnerCarFacts[]): (caution: Caution) => boolean {
  const powered = cars.some(({ top }) => top?.powered === true);
  return (caution) => powered || caution.powered !== true;
}

/** Where a private owner goes on from a car: what was recorded, and what to record. */
function moreOf({ id, top, topId }: OwnerCarFacts, records: boolean, voice: Voice): Link[] {
  const link = (href: string, key: string): Link => ({ href, words: voice.say(key) });
  const history = link(`/cars/${id}`, 'mine.history');
  if (top === null || topId === null) return [history];
  const pivots = link(`/tops/${topId}`, 'mine.pivots');
  const visit = link(`/tops/${topId}/visit`, 'mine.visit');
  return records ? [history, pivots, visit] : [history, pivots];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly owner: OwnerModel;
  }
}
