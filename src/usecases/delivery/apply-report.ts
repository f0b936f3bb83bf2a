import { createHash } from 'node:crypto';
import type { Instant } from '../../domain/calendar/instant.ts';
import { TOPICS } from '../../domain/round/letter-kind.ts';
import type { RecipientReport, Report } from '../../mail/report-parser.ts';
import { parseReport } from '../../mail/report-parser.ts';
import { tokenOf } from '../../mail/verp.ts';
import { lockCarsOfAddress } from '../../store/owners/consent-rows.ts';
import type { LetterRow } from '../../store/letters/letter-rows.ts';
import { addReport, markReturned, reportedLetter } from '../../store/letters/report-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { concludeFailure } from './conclude-failure.ts';
import type { Context } from '../context/context.ts';
import { refuseTopicsIn } from '../owners/refuse-topic.ts';
import type { ReportVerdict } from './report-words.ts';
import { diagnosisOf, wordsOfReturn } from './report-words.ts';

export interface MatchedLetter {
  readonly letterId: string;
  /** The address that the letter went to. */
  readonly address: string;
  readonly verdict: ReportVerdict;
}

export interface ReportRecord {
  readonly kind: Report['kind'];
  /** Why the message is no report; null where it is one. */
  readonly why: string | null;
  /** The letter that it is about; empty where it names none of ours. */
  readonly matched: MatchedLetter[];
  /** Whether it was taken account of now. A report that came before, or changes nothing, is not. */
  readonly applied: boolean;
}

/**
 * Takes account of a message that came back. The letter is found by the token in the return path or
 * by its Message-ID and never by an address, which anybody could put into a forged report. A dead
 * address gets no more mail at once, and what waits for it is cancelled; failures that may pass
 * count together; objections to the sender alert the shop and blame no address; a complaint refuses
 * every topic. The same bytes count once. Without `organisationId` (the mailbox that all share)
 * every letter may be meant, else only those of that organisation.
 */
export async function applyReport(
  context: Context,
  raw: Uint8Array,
  organisationId: string | null,
): Promise<ReportRecord> {
  const report = await parseReport(raw);
  if (report.kind === 'other') {
    return { kind: 'other', why: report.why, matched: [], applied: false };
  }
  const { kind } = report;
  const letter = await letterOf(context.store.sql, report, organisationId);
  if (letter === null) return { kind, why: null, matched: [], applied: false };
  const about =
    report.kind === 'delivery' ? recipientMeant(report.recipients, letter.toAddress) : null;
  const verdict: ReportVerdict = kind === 'complaint' ? 'refused' : (about?.verdict ?? 'none');
  const matched = [{ letterId: letter.id, address: letter.toAddress, verdict }];
  if (verdict === 'none') return { kind, why: null, matched, applied: false };
  const digest = createHash('sha256').update(raw).digest('hex');
  const at = context.now();
  const applied = await context.store.writeSql(async (sql) => {
    await lockCarsOfAddress(sql, letter);
    const words = wordsOfReturn(verdict, about);
    const row = { digest, letterId: letter.id, kind, verdict, words, receivedAt: at };
    if (!(await addReport(sql, { organisationId: letter.organisationId, ...row }))) return false;
    await conclude(sql, letter, verdict, { at, words, diagnosis: diagnosisOf(about), digest });
    return true;
  });
  return { kind, why: null, matched, applied };
}

/** By the token of the return path, else by the Message-ID: some relays give a letter their own. */
async function letterOf(
  sql: Sql,
  report: Report & { kind: 'delivery' | 'complaint' },
  organisationId: string | null,
): Promise<LetterRow | null> {
  // Some mail servers change the case of an address; the ids of letters are lower-case.
  const token = report.verpTo === null ? null : (tokenOf(report.verpTo)?.toLowerCase() ?? null);
  const byToken = token === null ? null : await reportedLetter(sql, { id: token }, organisationId);
  const messageId = report.originalMessageId;
  if (byToken !== null || messageId === null) return byToken;
  return reportedLetter(sql, { messageId }, organisationId);
}

const BY_WEIGHT = ['none', 'policy', 'soft', 'dead'] as const;

/**
 * The part of a report that is about the one recipient of a letter. A single one is meant whatever
 * address a forwarding system gives it; of several, those with the letter's address, and of these
 * the mildest: where one way still leads to the reader the address is not dead. Null for none.
 */
export function recipientMeant(
  recipients: readonly RecipientReport[],
  toAddress: string,
): RecipientReport | null {
  if (recipients.length === 1) return recipients[0] ?? null;
  const to = toAddress.toLowerCase();
  const mine = recipients.filter(
    ({ address, originalAddress }) =>
      address?.toLowerCase() === to || originalAddress?.toLowerCase() === to,
  );
  const weight = ({ verdict }: RecipientReport) => BY_WEIGHT.indexOf(verdict);
  return mine.reduce<RecipientReport | null>(
    (mildest, one) => (mildest === null || weight(one) < weight(mildest) ? one : mildest),
    null,
  );
}

async function conclude(
  sql: Sql,
  letter: LetterRow,
  verdict: Exclude<ReportVerdict, 'none'>,
  report: { at: Instant; words: string; diagnosis: string | null; digest: string },
): Promise<void> {
  const { at, words, diagnosis, digest } = report;
  if (verdict !== 'refused') {
    await markReturned(sql, letter.id, at, words, diagnosis);
    await concludeFailure(sql, letter, verdict, { at, why: words });
    return;
  }
  const { organisationId, addressHash, ownerId } = letter;
  const by = `complaint:${digest.slice(0, 16)}`;
  const wish = { organisationId, addressHash, ownerId, topics: TOPICS, given: false, by, words };
  await refuseTopicsIn(sql, wish, at);
}
