import type { Context } from '../context/context.ts';
import { seal, unseal } from '../context/seal.ts';
import { hashOf } from '../context/secret.ts';
import { addHours } from '../../domain/calendar/instant.ts';
import type { Sql } from '../../store/database/sql.ts';
import { holdName } from '../../store/database/sql.ts';
import type { AnswerRow } from '../../store/once/answer-rows.ts';
import { findAnswer, forgetAnswersBefore, storeAnswer } from '../../store/once/answer-rows.ts';

/** How long an answer is kept for repetition. */
export const KEPT_HOURS = 24;

export interface StoredAnswer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string;
}

export type Done =
  | { readonly kind: 'done'; readonly answer: StoredAnswer }
  | { readonly kind: 'repeat'; readonly answer: StoredAnswer }
  | { readonly kind: 'running' }
  | { readonly kind: 'other-request' }
  | { readonly kind: 'forgotten'; readonly status: number };

/** Under what a request is done once. */
export interface OnceKey {
  readonly keyId: string;
  /**
   * The access key as it was sent. What is stored of an answer can be read with it alone: answers
   * show links and people, and the database knows this key only by its hash.
   */
  readonly secret: string;
  readonly key: string;
}

/**
 * Does the work of a request once, or says what became of it before. The deed and its answer are one
 * transaction: whatever breaks down, both are there or neither, and whoever sends the request again
 * gets the answer or has it done. No key is ever left taken by work that did not end, since nothing
 * but that transaction holds it. What `work` throws is thrown, with nothing written.
 */
export function doOnce(
  context: Context,
  once: OnceKey,
  request: string,
  work: () => Promise<StoredAnswer>,
): Promise<Done> {
  return context.store.together(async () => {
    const { sql } = context.store;
    if (!(await holdName(sql, aboutOf(once)))) return { kind: 'running' };
    const known = await knownAnswer(context, sql, once, request);
    if (known !== null) return known;
    const answer = await work();
    await storeAnswer(sql, rowOf(context, once, request, answer));
    return { kind: 'done', answer };
  });
}

/**
 * The same for work that does nothing twice by itself, in transactions of its own: one that held all it
 * touches until its end would have everybody else wait. If it breaks off, what it did stands, and whoever
 * sends the request again has the rest done; of two at once each does a part and the first answer is kept.
 */
export async function answerApart(
  context: Context,
  once: OnceKey,
  request: string,
  work: () => Promise<StoredAnswer>,
): Promise<Done> {
  const known = await knownAnswer(context, context.store.sql, once, request);
  if (known !== null) return known;
  const answer = await work();
  return context.store.writeSql(async (sql) => {
    const first = await knownAnswer(context, sql, once, request);
    if (first !== null) return first;
    await storeAnswer(sql, rowOf(context, once, request, answer));
    return { kind: 'done', answer };
  });
}

async function knownAnswer(
  context: Context,
  sql: Sql,
  once: OnceKey,
  request: string,
): Promise<Done | null> {
  const since = addHours(context.now(), -KEPT_HOURS);
  const before = await findAnswer(sql, { accessKeyId: once.keyId, key: once.key }, since);
  return before && toldBefore(once, request, before);
}

/** Keeps the answer of a request that was refused, and so wrote nothing, to be repeated too. */
export function keepRefusal(
  context: Context,
  once: OnceKey,
  request: string,
  answer: StoredAnswer,
): Promise<void> {
  return context.store.writeSql((sql) => storeAnswer(sql, rowOf(context, once, request, answer)));
}

function toldBefore(once: OnceKey, request: string, before: AnswerRow): Done {
  if (before.requestHash !== hashOf(request)) return { kind: 'other-request' };
  const { status } = before;
  const body = before.body === null ? null : unseal(once.secret, aboutOf(once), before.body);
  if (body === null) return { kind: 'forgotten', status };
  const headers = JSON.parse(before.headers ?? '{}') as Record<string, string>;
  return { kind: 'repeat', answer: { status, headers, body } };
}

function rowOf(
  context: Context,
  once: OnceKey,
  request: string,
  { status, headers, body }: StoredAnswer,
): AnswerRow {
  return {
    accessKeyId: once.keyId,
    key: once.key,
    requestHash: hashOf(request),
    status,
    headers: JSON.stringify(headers),
    body: seal(once.secret, aboutOf(once), body),
    createdAt: context.now(),
  };
}

function aboutOf({ keyId, key }: OnceKey): string {
  return `answer ${keyId} ${key}`;
}

/** Forgets answers that were kept long enough, and those that an earlier version kept otherwise. */
export async function forgetOldAnswers(context: Context): Promise<void> {
  const before = addHours(context.now(), -KEPT_HOURS);
  await context.store.writeSql((sql) => forgetAnswersBefore(sql, before));
}
