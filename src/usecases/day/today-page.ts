import { ownersSetAside } from '../../store/letters/round-fault-rows.ts';
import type { StayingRecord } from '../own/read-staying.ts';
import { readStaying } from '../own/read-staying.ts';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { FaultyLetterRow } from '../../store/cars/today-rows.ts';
import { faultyLettersSince, foldedCars, letterCountsSince } from '../../store/cars/today-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { DiaryRecord } from '../bench/diary-weeks.ts';
import { showDiary } from '../bench/diary-weeks.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { OwnerNewsRecord } from './owner-news.ts';
import { readOwnerNews } from './owner-news.ts';
import type { CallListRecord } from './read-calls.ts';
import { readCalls } from './read-calls.ts';
import type { PartsRecord } from '../stock/read-parts.ts';
import { readParts } from '../stock/read-parts.ts';
import type { PositionRecord } from '../cars/read-position.ts';
import { showPosition } from '../cars/read-position.ts';
import type { StandingRecord } from '../owners/read-standing.ts';
import { readStanding } from '../owners/read-standing.ts';
import type { LookRecord } from '../tops/read-looks.ts';
import { listLooks } from '../tops/read-looks.ts';
import type { DueRecord } from '../tops/read-tops.ts';
import { jointFacts } from '../tops/joint-facts.ts';
import { listDue } from '../tops/read-tops.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

export interface FoldedCarRecord {
  readonly carId: string;
  readonly registration: string;
  readonly timeZone: string;
  readonly ownerName: string;
  readonly phone: string | null;
  readonly clock: PositionRecord;
}

export interface TodayRecord {
  readonly now: Instant;
  readonly today: Day;
  readonly organisation: { readonly name: string; readonly timeZone: string };
  /** Cars whose tops must not be moved; those first for which no repair is booked. */
  readonly staying: StayingRecord[];
  /** Whom else to ring, what saves most a minute first. */
  readonly calls: CallListRecord;
  /** Tops whose due window has begun or is over, the longest waiting first. */
  readonly due: DueRecord[];
  readonly moreDue: boolean;
  /** Tops whose joints are due for a second look, the soonest first. */
  readonly looks: LookRecord[];
  /** Cars that are near their folded limit or past it, the longest past first. */
  readonly folded: FoldedCarRecord[];
  readonly diary: DiaryRecord;
  /** Parts that should be ordered now. */
  readonly parts: PartsRecord['items'];
  readonly letters: {
    readonly days: number;
    readonly states: { state: string; n: number }[];
    readonly faults: FaultyLetterRow[];
    /** Owners about whom the round could decide nothing, and why. */
    readonly setAside: { readonly name: string; readonly at: Instant; readonly reason: string }[];
  };
  readonly standing: StandingRecord;
  /** What owners did by their links in the last days. */
  readonly news: OwnerNewsRecord[];
}

const CALLS_SHOWN = 8;
const DUE_SHOWN = 60;
const WEEKS_SHOWN = 4;
const LETTER_DAYS = 7;
const FAULTS_SHOWN = 30;
const OWNERS_SHOWN = 50;

/** What a shop has to know in the morning, from the same answers that the API gives. */
export async function readToday(context: Context, caller: Caller): Promise<TodayRecord> {
  const { sql } = context.store;
  const { organisationId } = caller;
  const now = context.now();
  const { name, timeZone } = await showOrganisation(context, caller);
  const today = dayIn(timeZone, now);
  const own = await ownFiguresOf(sql, organisationId);
  const { windowBeforeDays } = figuresFor('due', own);
  const until = addDays(today, windowBeforeDays);
  const due = await listDue(context, caller, { until, limit: DUE_SHOWN });
  const since = addHours(now, -LETTER_DAYS * 24);
  const facts = await jointFacts(sql, organisationId, own);
  const parts = await readParts(context, caller, { facts });
  const staying = await readStaying(sql, organisationId, now);
  const stays = new Set(staying.map(({ carId }) => carId));
  return {
    now,
    today,
    organisation: { name, timeZone },
    staying,
    calls: await readCalls(context, caller, { limit: CALLS_SHOWN, savesOnly: true, facts }),
    due: due.items,
    moreDue: due.next !== null,
    looks: (await listLooks(context, caller, { until: today, limit: DUE_SHOWN })).items,
    folded: (await foldedTooLong(context, caller, now)).filter(({ carId }) => !stays.has(carId)),
    diary: await showDiary(context, caller, { weeks: WEEKS_SHOWN }),
    parts: parts.items.filter(({ order }) => order > 0),
    letters: {
      days: LETTER_DAYS,
      states: await letterCountsSince(sql, organisationId, since),
      faults: await faultyLettersSince(sql, organisationId, since, FAULTS_SHOWN),
      setAside: await ownersSetAside(sql, organisationId, FAULTS_SHOWN),
    },
    standing: await readStanding(context, caller, { limit: OWNERS_SHOWN }),
    news: await readOwnerNews(context, caller),
  };
}

async function foldedTooLong(
  context: Context,
  caller: Caller,
  now: Instant,
): Promise<FoldedCarRecord[]> {
  const cars = await foldedCars(context.store.sql, caller.organisationId, now);
  const records = await Promise.all(
    cars.map(async ({ carId, registration, timeZone, ownerName, phone }) => {
      const clock = await showPosition(context, caller, carId, now);
      return { carId, registration, timeZone, ownerName, phone, clock };
    }),
  );
  const overAt = ({ clock }: FoldedCarRecord) => clock.stretch?.overAt ?? '9';
  return records
    .filter(({ clock }) => clock.stretch !== null && clock.stretch.state !== 'within')
    .sort((a, b) => (overAt(a) < overAt(b) ? -1 : 1));
}
