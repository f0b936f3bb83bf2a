import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn, nextWithinHours } from '../../domain/calendar/zone.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import { moveMark } from '../../domain/round/move-mark.ts';
import { placeOfVisit } from '../../store/care-days/place-rows.ts';
import { photosForReport } from '../../store/photos/photo-rows.ts';
import { readPivots } from '../../store/visits/reading-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { ToldVisitRow, VisitLetterRow } from '../../store/visits/visit-letter-rows.ts';
import { findingsOfVisit, foundOnVisit } from '../../store/visits/visit-letter-rows.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import { voiceFor } from '../../views/words/voice.ts';
import { writtenByRule } from '../../views/words/written.ts';
import { renderLetter } from '../../views/letters/render.ts';
import { speakerOf } from '../../views/letters/sheet.ts';
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
import { measuredPart } from './visit-measures.ts';
import type { VisitNews } from './visit-news.ts';
import { OWN_MARK } from './visit-news.ts';
import type { LetterBase, WrittenLetter } from '../round/compose-letter.ts';
import { composeLetter } from '../round/compose-letter.ts';

type Teller = Pick<Context, 'publicUrl' | 'mailDomain'>;
type VisitModel = LetterModel<'visit-booked'>['visit'];

/** A visit with what is to be told of it. */
export interface VisitTold {
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

/** Writes the letter that tells what is new about a visit; nothing is stored. */
export async function writeVisitLetter(
  context: Teller,
  sql: Sql,
  car: CarFacts,
  { visit, careDay, news, letters, isOwn, insteadOf }: VisitTold,
  at: Instant,
): Promise<WrittenLetter> {
  const { owner, organisation } = car;
  const [from, to] = organisation.letterHours;
  // Where it was written about before, the same day and place may be told twice.
  const again = letters.length > 0 ? `:${visit.version}-${letters.length}` : '';
  const key = `${news.kind}:${visit.id}:${news.when}${isOwn ? OWN_MARK : ''}${again}${moveMark(car.mayMove)}`;
  const written = { ...organisation, language: owner.language };
  const dated = news.kind === 'visit-report' ? undefined : calendarColumn(context, visit, written);
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
    measured: await measuredPart(sql, car, { ...visit, doneOn }, records, when.own),
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
