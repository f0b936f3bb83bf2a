import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { dayIn, nextWithinHours } from '../../domain/calendar/zone.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { markIn, moveMark } from '../../domain/round/move-mark.ts';
import { WORDS_CHANGED } from '../../domain/round/why-cancelled.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { placeOfVisit } from '../../store/care-days/place-rows.ts';
import { cancelLetters, storeLetters } from '../../store/letters/letter-rows.ts';
import { photosForReport } from '../../store/photos/photo-rows.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import { readPivots } from '../../store/visits/reading-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { ToldVisitRow, VisitLetterRow } from '../../store/visits/visit-letter-rows.ts';
import {
  findingsOfVisit,
  foundOnVisit,
  lettersAboutVisit,
  stampVisit,
  toldVisit,
  visitLettersTo,
  visitsToBeTold,
} from '../../store/visits/visit-letter-rows.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import { voiceFor } from '../../views/words/voice.ts';
import { writtenByRule } from '../../views/words/written.ts';
import { renderLetter } from '../../views/letters/render.ts';
import { speakerOf } from '../../views/letters/sheet.ts';
import { isOwnersDeed } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { careDayLink, newLink } from '../context/links.ts';
import { earlierLetters, threadsOf } from '../round/letter-threads.ts';
import { loadOwnStyle } from '../organisations/own-style.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import { wearPriorOf } from '../own/wear-priors.ts';
import { calendarColumn } from './visit-calendar.ts';
import { lookAgainAfter } from './look-after-visit.ts';
import { drawnPattern } from './drawn-pattern.ts';
import { pivotsPart } from './visit-findings.ts';
import type { VisitNews } from './visit-news.ts';
import { isOwnDeed, isUnsent, newsOf, OWN_MARK, stillHolds } from './visit-news.ts';
import type { LetterBase, WrittenLetter } from '../round/compose-letter.ts';
import { composeLetter } from '../round/compose-letter.ts';

type Teller = Pick<Context, 'publicUrl' | 'mailDomain'>;
type VisitModel = LetterModel<'visit-booked'>['visit'];

/**
 * Tells the owner what is new about a visit. Call it in the transaction that booked, moved, called
 * off or recorded the visit, once all else is written: unsent letters about it that do not hold any
 * more are cancelled, and the one that is owed now is written, once however often it is called.
 * Nothing is told of days gone by, to owners who cannot be reached, or by private owners to
 * themselves; and nothing at all with `tell: false`, for what owners log themselves. With `insteadOf` a
 * report that left at that instant is written anew, and says so.
 */
export async function tellOfVisit(
  context: Teller,
  sql: Sql,
  visitId: string,
  at: Instant,
  {
    tell = true,
    insteadOf = null,
  }: { readonly tell?: boolean; readonly insteadOf?: Instant | null } = {},
): Promise<void> {
  await stampVisit(sql, visitId, at);
  const visit = await toldVisit(sql, visitId);
  if (visit !== null) await bringUpToDate(context, sql, visit, at, tell, { insteadOf });
}

/**
 * Writes anew the letters about a car's visits that wait and say of moving the top what may no longer
 * be so, its reasons included. Call it in the transaction that recorded what was found or mended, after
 * `tellOfVisit`. With `all` whatever waits is written anew: what stands in every letter has changed.
 */
export async function retellVisits(
  context: Teller,
  sql: Sql,
  carId: string,
  at: Instant,
  { all = false }: { readonly all?: boolean } = {},
): Promise<void> {
  const isAmiss = ({ key, plannedAt }: VisitLetterRow) =>
    plannedAt < at && (all || markIn(key) !== '');
  for (const visitId of await visitsToBeTold(sql, carId)) {
    const visit = await toldVisit(sql, visitId);
    if (visit !== null) await bringUpToDate(context, sql, visit, at, true, { isAmiss });
  }
}

async function bringUpToDate(
  context: Teller,
  sql: Sql,
  visit: ToldVisitRow,
  at: Instant,
  tell: boolean,
  {
    isAmiss = () => false,
    insteadOf = null,
  }: {
    readonly isAmiss?: (letter: VisitLetterRow) => boolean;
    readonly insteadOf?: Instant | null;
  } = {},
): Promise<void> {
  const letters = await lettersAboutVisit(sql, visit);
  const careDay = await placeOfVisit(sql, visit.id);
  const standsSo = { ...visit, place: careDay?.place ?? null };
  const own = await ownFiguresOf(sql, visit.organisationId);
  const { cars } = await loadCarFacts(sql, [visit.carId], at);
  const car = cars[0];
  const untrue = letters.filter((letter) => isUnsent(letter) && !stillHolds(standsSo, letter));
  // What is true of the visit and not of how the top may be moved counts as never written.
  const mark = car === undefined ? '' : moveMark(car.mayMove);
  const amiss = letters.filter(
    (letter) =>
      isUnsent(letter) &&
      !untrue.includes(letter) &&
      (markIn(letter.key) !== mark || isAmiss(letter)),
  );
  const ended = await endLetters(sql, untrue, 'the visit was changed', at);
  const unsaid = await endLetters(sql, amiss, WORDS_CHANGED, at);
  const standing = letters.map((letter) => ({
    ...letter,
    state: ended.get(letter.letterId) ?? unsaid.get(letter.letterId) ?? letter.state,
  }));
  if (!tell || car === undefined || isSilent(car)) return;
  const { reportDays } = figuresFor('standing', own);
  const byOwner = isOwnersDeed();
  const telling = { today: dayIn(car.timeZone, at), reportDays, byOwner };
  const news =
    insteadOf === null
      ? newsOf(standsSo, standing, telling)
      : newsOf(standsSo, [], { ...telling, reportDays: ANY_AGE_DAYS });
  if (news === null) return;
  const isOwn = isOwnDeed(news, standing, byOwner);
  const written = await write(
    context,
    sql,
    car,
    { visit, careDay, news, letters, isOwn, insteadOf },
    at,
  );
  const stored = await storeLetters(sql, [written]);
  if (stored.size > 0) await storeLinks(sql, written.links);
}

/**
 * Cancels letters, and says what came of each: one that could not be cancelled any more has left.
 */
async function endLetters(
  sql: Sql,
  letters: readonly VisitLetterRow[],
  why: string,
  at: Instant,
): Promise<Map<string, 'cancelled' | 'unknown'>> {
  const ids = [...new Set(letters.map(({ letterId }) => letterId))];
  const gone = new Set(await cancelLetters(sql, ids, why, at));
  return new Map(ids.map((id) => [id, gone.has(id) ? 'cancelled' : 'unknown']));
}

/** Nobody reads these: a private owner knows what was done, others cannot be reached. */
function isSilent({ organisation, owner }: CarFacts): boolean {
  return organisation.kind === 'private' || owner.unreachable;
}

interface Written {
  readonly visit: ToldVisitRow;
  /** The care day whose time it is; null for any other visit. */
  readonly careDay: Awaited<ReturnType<typeof placeOfVisit>>;
  readonly news: VisitNews;
  readonly isOwn: boolean;
  /** What was written about it before, oldest first. */
  readonly letters: readonly VisitLetterRow[];
  /** When the report left that this one takes the place of. */
  readonly insteadOf: Instant | null;
}

// A report in which something was wrong is put right however old it is.
const ANY_AGE_DAYS = 36_500;

async function write(
  context: Teller,
  sql: Sql,
  car: CarFacts,
  { visit, careDay, news, letters, isOwn, insteadOf }: Written,
  at: Instant,
): Promise<WrittenLetter> {
  const { owner, organisation } = car;
  const [from, to] = organisation.letterHours;
  // Where it was written about before, the same day and place may be told twice.
  const again = letters.length > 0 ? `:${visit.version}-${letters.length}` : '';
  const key = `${news.kind}:${visit.id}:${news.when}${isOwn ? OWN_MARK : ''}${again}${moveMark(car.mayMove)}`;
  const spoken = { ...organisation, language: owner.language };
  const dated = news.kind === 'visit-report' ? undefined : calendarColumn(context, visit, spoken);
  const ownStyle = await loadOwnStyle(sql, organisation.id);
  const plan = {
    car,
    cars: [car],
    kind: news.kind,
    notBefore: nextWithinHours(owner.timeZone, at, from, to),
    occasions: [{ key, carId: car.id }],
    earlier: earlierLetters(threadsOf(letters), [{ key }]),
    ...(dated === undefined ? {} : { calendar: dated }),
  };
  const cars = [{ registration: car.registration }];
  const whose = { organisationId: organisation.id, ownerId: owner.id, carId: car.id };
  // A time of a care day is chosen among the times of that day, which is held where the day says.
  const manage = newLink(
    context.publicUrl,
    at,
    careDay === null
      ? { ...whose, purpose: 'book', subject: `visit ${visit.id}` }
      : { ...whose, ...careDayLink(careDay.id, careDay.heldOn, dayIn(car.timeZone, at)) },
  );
  if (news.kind === 'visit-report') {
    const report = await reportModel(sql, car, visit, at);
    return composeLetter(context, plan, at, ownStyle, (base, own) =>
      renderLetter(
        'visit-report',
        {
          ...base,
          cars,
          ...report,
          insteadOf: insteadOf === null ? null : dayIn(owner.timeZone, insteadOf),
        },
        own,
      ),
    );
  }
  const { kind } = news;
  const where = careDay?.place ?? null;
  const told = { ...visitModel(visit, news), where, manage: manage.url };
  return composeLetter(
    context,
    { ...plan, links: [manage.row] },
    at,
    ownStyle,
    (base: LetterBase, own) => renderLetter(kind, { ...base, cars, visit: told, offers: [] }, own),
  );
}

function visitModel(visit: ToldVisitRow, news: VisitNews): VisitModel {
  return {
    kind: visit.kind as VisitModel['kind'],
    week: null,
    on: news.on,
    times: timesOf(visit, news),
    minutes: visit.minutes,
    previousOn: news.elsewhere ? null : news.previousOn,
    elsewhere: news.elsewhere,
    where: null,
    reason: null,
    manage: null,
  };
}

/** When the car is brought and ready, by the clock of the organisation; null where no time is agreed. */
function timesOf({ dropOffAt, readyAt, organisationZone }: ToldVisitRow, { kind }: VisitNews) {
  if (dropOffAt === null || readyAt === null || kind === 'visit-called-off') return null;
  return { dropOffAt, readyAt, timeZone: organisationZone };
}

type ReportModel = Omit<LetterModel<'visit-report'>, keyof LetterBase | 'cars' | 'insteadOf'>;

async function reportModel(
  sql: Sql,
  car: CarFacts,
  visit: ToldVisitRow,
  at: Instant,
): Promise<ReportModel> {
  const doneOn = visit.doneOn ?? '';
  const kind = visit.kind as VisitModel['kind'];
  const findings = await findingsOfVisit(sql, visit.id);
  const { organisationId, carId, framePattern } = visit;
  const when = {
    today: dayIn(car.timeZone, at),
    own: await ownFiguresOf(sql, organisationId),
  };
  const read = await readPivots(sql, organisationId, [carId]);
  const records = read.flatMap(({ record, retiredOn }) => (retiredOn === null ? [record] : []));
  const priorOf = await wearPriorOf(sql, organisationId, { carId, framePattern, records }, when);
  const speaker = speakerOf(car.owner.language);
  const pattern = await drawnPattern(sql, organisationId, framePattern);
  const pivots = pivotsPart(
    read,
    await foundOnVisit(sql, visit.id),
    { kind, doneOn },
    { ...when, speaker, priorOf, pattern },
  );
  return {
    visit: { kind, doneOn },
    pivots,
    ...findingsPart(findings, car.owner.language, visit.organisationLanguage),
    photos: await reportPhotos(sql, visit.id),
    nextDueOn: car.top?.dueOn ?? null,
    lookAgain: lookAgainAfter(car, doneOn, at),
  };
}

/** What a rule wrote is told in the reader's language; what somebody typed stands as it was typed. */
function findingsPart(
  findings: Awaited<ReturnType<typeof findingsOfVisit>>,
  language: string,
  typedIn: string,
): Pick<ReportModel, 'findings' | 'foreign'> {
  const told = (text: string) => writtenByRule(text, language);
  const typed = findings.some(({ text, advised }) =>
    [text, ...(advised === null ? [] : [advised])].some((one) => told(one) === null),
  );
  return {
    findings: findings.map(({ pivot, text, advised, outcome }) => ({
      joint: pivot,
      text: told(text) ?? text,
      advised: advised === null ? null : (told(advised) ?? advised),
      outcome: outcome as ReportModel['findings'][number]['outcome'],
    })),
    foreign: typed && voiceFor(language).language !== voiceFor(typedIn).language,
  };
}

// A letter is kept whole and carries its pictures: a few, small ones.
const PHOTOS_IN_REPORT = 4;

async function reportPhotos(sql: Sql, visitId: string): Promise<ReportModel['photos']> {
  const rows = await photosForReport(sql, visitId, PHOTOS_IN_REPORT);
  return rows.map(({ small, words, pivotCode }) => ({
    picture: `data:image/jpeg;base64,${Buffer.from(small, 'base64url').toString('base64')}`,
    words,
    joint: pivotCode,
  }));
}

// A letter about a visit that has been lost for longer is not worth writing anew.
const REWRITE_DAYS = 60;

const REWRITE_REASONS = [
  'the address was changed',
  'the language was changed',
  'the name was changed',
] as const;

/** Why a letter about a visit is cancelled to be written anew. */
export type RewriteReason = (typeof REWRITE_REASONS)[number];

function isToBeRewritten(why: string | null): boolean {
  return REWRITE_REASONS.some((one) => one === why) || why?.startsWith('the address') === true;
}

/**
 * Writes anew what an owner was to be told about visits and was not, because the address was wrong, or
 * what waited under another language or name: call it in the transaction that corrected that or the
 * standing of the address. With `lostBy`, what was lost of one car's visits for that reason.
 */
export async function rewriteVisitLetters(
  context: Teller,
  sql: Sql,
  ownerId: string,
  at: Instant,
  lostBy?: { readonly carId: string; readonly why: string },
): Promise<void> {
  const isMeant = (why: string | null) =>
    lostBy === undefined ? isToBeRewritten(why) : why === lostBy.why;
  const last = new Map<string, boolean>();
  for (const letter of await visitLettersTo(sql, ownerId, addHours(at, -REWRITE_DAYS * 24))) {
    const lost =
      letter.state === 'failed' || (letter.state === 'cancelled' && isMeant(letter.cancelledWhy));
    last.set(letter.key.split(':')[1] ?? '', lost);
  }
  const lost = [...last].flatMap(([visitId, isLost]) => (isLost ? [visitId] : []));
  for (const visitId of lost.sort()) {
    const visit = await toldVisit(sql, visitId);
    if (visit === null || (lostBy !== undefined && visit.carId !== lostBy.carId)) continue;
    await bringUpToDate(context, sql, visit, at, true);
  }
}

/**
 * Cancels the unsent letters about a visit that came to its end in another way, or of which they say
 * what is no longer so. Returns the ids of the cancelled ones.
 */
export async function dropVisitLetters(
  sql: Sql,
  visit: { readonly id: string; readonly carId: string },
  at: Instant,
  why: string,
): Promise<string[]> {
  const letters = await lettersAboutVisit(sql, visit);
  const unsent = letters.filter(isUnsent).map(({ letterId }) => letterId);
  return cancelLetters(sql, [...new Set(unsent)], why, at);
}
