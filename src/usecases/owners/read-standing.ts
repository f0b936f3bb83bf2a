import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import type { SoftFailure } from '../../domain/standing/soft-failures.ts';
import { failuresCounting } from '../../domain/standing/soft-failures.ts';
import type { StandingFigures } from '../../domain/standing/standing-figures.ts';
import { parseReply, verdictOfReply } from '../../mail/server-reply.ts';
import { lockCarsOfAddress } from '../../store/owners/consent-rows.ts';
import { lookAgain } from '../../store/cars/look-rows.ts';
import { objectionsSince, refusalsSince } from '../../store/letters/report-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { OwnerStandingRow } from '../../store/owners/standing-rows.ts';
import {
  clearFailures,
  lockStanding,
  ownersOutOfReach,
  standingOfOwner,
} from '../../store/owners/standing-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownOwner } from '../own/owner-records.ts';
import type { Page, PageRequest } from '../context/paging.ts';
import { pageOf, partsOfCursor } from '../context/paging.ts';
import { organisationFigures } from '../figures/shop-rules.ts';
import { rewriteVisitLetters } from '../visits/visit-letters.ts';

/** Whether an owner's present address gets mail, and why not. */
export interface OwnerStandingRecord {
  readonly ownerId: string;
  readonly name: string;
  readonly address: string;
  /** Null where the address takes mail as far as is known. */
  readonly dead: { readonly since: Instant; readonly why: string } | null;
  readonly refusedTopics: Topic[];
  /** Letters that came back lately for reasons that may pass. */
  readonly cameBack: number;
  /** When and with which words somebody said that the address takes mail after all. */
  readonly cleared: { readonly at: Instant; readonly words: string } | null;
  /** The same in plain words. */
  readonly words: string;
}

/** A receiver's objection to the sender or to a letter: the shop's own matter to look into. */
export interface AlertRecord {
  readonly at: Instant;
  readonly letterId: string;
  readonly ownerId: string;
  readonly words: string;
}

export interface StandingRecord extends Page<OwnerStandingRecord> {
  /** The latest first. */
  readonly alerts: AlertRecord[];
}

const MOST_ALERTS = 100;

/** The owners who get no mail, or not all of it, and why; and what receivers objected to lately. */
export async function readStanding(
  context: Context,
  { organisationId }: Caller,
  { limit, after }: PageRequest,
): Promise<StandingRecord> {
  const { sql } = context.store;
  const now = context.now();
  const figures = await organisationFigures(sql, organisationId, 'standing');
  const [from = ''] = partsOfCursor(after, ['id']) ?? [''];
  const rows = await ownersOutOfReach(sql, organisationId, from, limit + 1);
  const page = pageOf(
    rows,
    limit,
    (row) => standingOf(row, now, figures),
    (row) => [row.ownerId],
  );
  const since = addHours(now, -figures.alertDays * 24);
  // What came back too long ago to count is still stored, and is no reason to list an owner.
  const items = page.items.filter(
    ({ dead, refusedTopics, cameBack }) =>
      dead !== null || refusedTopics.length > 0 || cameBack > 0,
  );
  return { ...page, items, alerts: await alertsSince(sql, organisationId, since) };
}

/**
 * Lifts a wrongly noted dead address of an owner, for a reason given in words, and forgets what came
 * back from it. Letters are written to it again. What the reader refused stays refused.
 */
export async function clearStanding(
  context: Context,
  caller: Caller,
  ownerId: string,
  words: string,
): Promise<OwnerStandingRecord> {
  const { organisationId } = caller;
  const now = context.now();
  const owner = await ownOwner(context.store.records, caller, ownerId);
  const address = { organisationId, addressHash: owner.addressHash };
  await context.store.writeSql(async (sql) => {
    const carIds = await lockCarsOfAddress(sql, address);
    const before = await lockStanding(sql, address);
    if (before.deadSince === null && before.softFailures === '[]') return;
    await clearFailures(sql, address, now, words);
    await lookAgain(sql, carIds);
    await rewriteVisitLetters(context, sql, ownerId, now);
  });
  return showStanding(context, caller, ownerId);
}

/** Whether the present address of one owner gets mail. */
export async function showStanding(
  context: Context,
  caller: Caller,
  ownerId: string,
): Promise<OwnerStandingRecord> {
  const { organisationId } = caller;
  const owner = await ownOwner(context.store.records, caller, ownerId);
  const { sql } = context.store;
  const row = await standingOfOwner(sql, organisationId, ownerId);
  const figures = await organisationFigures(sql, organisationId, 'standing');
  return standingOf(row ?? unnoted(owner), context.now(), figures);
}

function unnoted(owner: { id: string; name: string; email: string }): OwnerStandingRow {
  return {
    ownerId: owner.id,
    name: owner.name,
    email: owner.email,
    refusedTopics: '[]',
    deadSince: null,
    deadWhy: null,
    softFailures: '[]',
    clearedAt: null,
    clearedWords: null,
  };
}

function standingOf(
  row: OwnerStandingRow,
  now: Instant,
  figures: StandingFigures,
): OwnerStandingRecord {
  const refusedTopics = JSON.parse(row.refusedTopics) as Topic[];
  const failures = failuresCounting(JSON.parse(row.softFailures) as SoftFailure[], now, figures);
  const dead =
    row.deadSince === null ? null : { since: row.deadSince, why: row.deadWhy ?? 'not noted' };
  return {
    ownerId: row.ownerId,
    name: row.name,
    address: row.email,
    dead,
    refusedTopics,
    cameBack: failures.length,
    cleared: row.clearedAt === null ? null : { at: row.clearedAt, words: row.clearedWords ?? '' },
    words: wordsFor(dead, refusedTopics, failures.length),
  };
}

const TOPIC_WORDS: Readonly<Record<Topic, string>> = {
  reminders: 'reminders',
  'folded-limit': 'alarms of a top folded too long',
  'care-notes': 'advice on care',
  offers: 'weeks offered for a visit',
  'club-news': 'letters of the club',
};

function wordsFor(
  dead: OwnerStandingRecord['dead'],
  refused: readonly Topic[],
  cameBack: number,
): string {
  const parts: string[] = [];
  if (dead !== null) {
    parts.push(
      `Nothing is written to this address since ${dead.since.slice(0, 10)}. Ask the owner for the right one.`,
    );
  }
  if (refused.length > 0) {
    parts.push(
      `The reader refused: ${refused.map((topic) => TOPIC_WORDS[topic]).join('; ')}. Letters about work in hand still go out.`,
    );
  }
  if (dead === null && cameBack > 0) {
    parts.push(
      `${cameBack} ${cameBack === 1 ? 'letter' : 'letters'} came back lately for a reason that may pass.`,
    );
  }
  return parts.join(' ') || 'The address takes mail as far as is known.';
}

/** Objections that came back in reports, and those given at once as a letter was handed over. */
async function alertsSince(
  sql: Sql,
  organisationId: string,
  since: Instant,
): Promise<AlertRecord[]> {
  const reported = await objectionsSince(sql, organisationId, since, MOST_ALERTS);
  const refused = await refusalsSince(sql, organisationId, since, MOST_ALERTS);
  const outright = refused.flatMap(({ response, fault, ...letter }) => {
    const reply = parseReply(response);
    return reply !== null && verdictOfReply(reply) === 'policy'
      ? [{ ...letter, words: fault }]
      : [];
  });
  return [...reported, ...outright].sort((a, b) => (a.at < b.at ? 1 : -1)).slice(0, MOST_ALERTS);
}
