import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn, instantAt, nextWithinHours } from '../../domain/calendar/zone.ts';
import type { NotReached } from '../../domain/letters/club-letter.ts';
import { paragraphsOf, whyNotReached } from '../../domain/letters/club-letter.ts';
import { Refused } from '../../domain/refusal.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { topicOf } from '../../domain/round/letter-kind.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import type { ClubLetterRow } from '../../store/club/club-letter-rows.ts';
import {
  carsOfMembers,
  changeClubLetterRow,
  consentsTo,
  copiesOf,
  memberAddresses,
} from '../../store/club/club-letter-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import { storeLetters } from '../../store/letters/letter-rows.ts';
import { renderLetter } from '../../views/letters/render.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld, requireVersion } from '../context/version.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import { agreedAddresses } from '../own/agreed.ts';
import type { WrittenLetter } from '../round/compose-letter.ts';
import { composeLetter } from '../round/compose-letter.ts';
import type { ClubLetterRecord } from './club-letters.ts';
import { ownClubLetter } from './club-letters.ts';

const KIND = 'club-letter';
const TOPIC = topicOf(KIND) ?? 'club-news';

/** A letter of the club with whom it reaches, and who does not get it and why. */
export interface ClubLetterReach {
  readonly letter: ClubLetterRecord;
  readonly reached: readonly { readonly ownerId: string; readonly name: string }[];
  readonly notReached: readonly {
    readonly ownerId: string;
    readonly name: string;
    readonly why: NotReached;
  }[];
  /** Of copies that were written: how many left, and how many wait. */
  readonly left: number;
  readonly waiting: number;
}

/** Whom a letter of the club would reach if it were sent now; nothing is written. */
export async function readClubLetter(
  context: Context,
  caller: Caller,
  id: string,
): Promise<ClubLetterReach> {
  const { sql } = context.store;
  const letter = await ownClubLetter(sql, caller, id);
  const { members, copies } = await membersFor(sql, letter, context.now());
  return {
    letter,
    reached: members.flatMap(({ ownerId, name, why }) => (why === null ? [{ ownerId, name }] : [])),
    notReached: members.flatMap(({ ownerId, name, why }) =>
      why === null ? [] : [{ ownerId, name, why }],
    ),
    left: copies.filter(({ state }) => state === 'delivered').length,
    waiting: copies.filter(({ state }) => state === 'planned' || state === 'sending').length,
  };
}

/** How the letter reads to the first whom it reaches; null where it reaches nobody. */
export async function previewClubLetter(
  context: Context,
  caller: Caller,
  id: string,
): Promise<{ readonly subject: string; readonly text: string; readonly html: string } | null> {
  const { sql } = context.store;
  const letter = await ownClubLetter(sql, caller, id);
  const { members } = await membersFor(sql, letter, context.now());
  const first = members.find(({ why }) => why === null);
  if (first === undefined) return null;
  const style = await loadOwnStyle(sql, caller.organisationId);
  const { letter: whole } = write(context, letter, first.cars, context.now(), style);
  return { subject: whole.subject, text: whole.text, html: whole.html };
}

/**
 * Sends a letter of the club: one copy to each member whom it reaches, written whole now, and to leave
 * within the hours of letters on a day on which the member gets no other. Sent again it reaches those
 * alone who agreed since. Gives how many copies were written.
 */
export async function sendClubLetter(
  context: Context,
  caller: Caller,
  id: string,
  version: number | null,
): Promise<number> {
  const at = context.now();
  return context.store.writeSql(async (sql) => {
    const letter = await ownClubLetter(sql, caller, id);
    requireVersion(version, letter.version);
    if (letter.withdrawnAt !== null) throw conflict('This letter was withdrawn.');
    const { members } = await membersFor(sql, letter, at);
    const reached = members.filter(({ why }) => why === null);
    if (reached.length === 0) throw conflict('It would reach nobody: see below why.');
    const style = await loadOwnStyle(sql, caller.organisationId);
    const stored = await store(
      sql,
      reached.map(({ cars }) => write(context, letter, cars, at, style)),
    );
    const sentAt = letter.sentAt ?? at;
    requireHeld(await changeClubLetterRow(sql, letter, { ...letter, sentAt }));
    return stored;
  });
}

/** Stores copies with their links, and gives how many were new. */
async function store(sql: Sql, written: readonly WrittenLetter[]): Promise<number> {
  const stored = await storeLetters(sql, written);
  const links = written.filter((one) => stored.has(one.letter.id)).flatMap((one) => one.links);
  await storeLinks(sql, links);
  return stored.size;
}

/**
 * Writes anew the copies of a member that waited and were cancelled because the address, the language or the
 * name was changed: call it in the transaction that did so. Whoever no longer may be reached gets none.
 */
export async function rewriteClubLetters(
  context: Context,
  sql: Sql,
  caller: Caller,
  { ownerId, letters }: { readonly ownerId: string; readonly letters: readonly string[] },
): Promise<void> {
  const at = context.now();
  for (const id of letters) {
    const letter = await ownClubLetter(sql, caller, id);
    const { members } = await membersFor(sql, letter, at);
    const member = members.find((one) => one.ownerId === ownerId && one.why === null);
    if (member === undefined || letter.withdrawnAt !== null) continue;
    const style = await loadOwnStyle(sql, caller.organisationId);
    await store(sql, [write(context, letter, member.cars, at, style)]);
  }
}

interface Reachable {
  readonly ownerId: string;
  readonly name: string;
  readonly why: NotReached | null;
  readonly cars: readonly CarFacts[];
}

async function membersFor(
  sql: Sql,
  { organisationId, id }: Pick<ClubLetterRow, 'organisationId' | 'id'>,
  at: Instant,
): Promise<{ members: Reachable[]; copies: Awaited<ReturnType<typeof copiesOf>> }> {
  const owners = await memberAddresses(sql, organisationId);
  const agreed = agreedAddresses(await consentsTo(sql, organisationId, TOPIC));
  const copies = await copiesOf(sql, organisationId, id);
  const having = new Set(copies.map(({ ownerId }) => ownerId));
  const asked = owners.filter(({ addressHash }) => agreed.has(addressHash));
  const hashes = new Map(owners.map((owner) => [owner.id, owner.addressHash]));
  const asking = new Set(asked.map((owner) => owner.id));
  const own = await carsOfMembers(sql, organisationId);
  const carIds = own.filter(({ ownerId }) => asking.has(ownerId ?? '')).map((car) => car.id);
  const facts = await loadCarFacts(sql, carIds, at, false);
  const served = new Set(copies.map(({ ownerId }) => hashes.get(ownerId)));
  const members = owners.map(({ id: ownerId, name, addressHash }): Reachable => {
    const cars = facts.cars.filter(({ owner }) => owner.id === ownerId);
    const why = whyNotReached({
      hasIt: having.has(ownerId),
      agreed:
        agreed.has(addressHash) && !cars.some(({ owner }) => owner.refusedTopics.includes(TOPIC)),
      unreachable: cars.some(({ owner }) => owner.unreachable),
      cars: own.filter((car) => car.ownerId === ownerId).length,
      mustStay: cars.some(({ mayMove }) => mayMove.verdict === 'leave'),
      sameAddress: served.has(addressHash),
    });
    if (why === null) served.add(addressHash);
    return { ownerId, name, why, cars };
  });
  return { members, copies };
}

function write(
  context: Context,
  { id, subject, text }: ClubLetterRow,
  cars: readonly CarFacts[],
  at: Instant,
  style: OwnStyle,
): WrittenLetter {
  const [car] = cars;
  if (car === undefined) throw new Error('a member who gets a letter of the club has a car');
  const plan = {
    car,
    cars: [],
    kind: KIND,
    notBefore: firstFree(car, at),
    occasions: cars.map((one) => ({ key: `${KIND}:${id}:${one.id}`, carId: one.id })),
  } as const;
  return composeLetter(context, plan, at, style, (base, own) =>
    renderLetter(
      KIND,
      {
        ...base,
        cars: cars.map(({ registration }) => ({ registration })),
        title: subject,
        paragraphs: paragraphsOf(text),
      },
      own,
    ),
  );
}

/** When it may leave: within the hours, on the first day on which the member gets no other letter. */
function firstFree({ owner, organisation }: CarFacts, at: Instant): Instant {
  const [from, to] = organisation.letterHours;
  const zone = owner.timeZone;
  const opening = nextWithinHours(zone, at, from, to);
  const { lastLetterOn } = owner;
  if (lastLetterOn === null || lastLetterOn < dayIn(zone, opening)) return opening;
  return nextWithinHours(zone, instantAt(zone, addDays(lastLetterOn, 1), '00:00'), from, to);
}

function conflict(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
