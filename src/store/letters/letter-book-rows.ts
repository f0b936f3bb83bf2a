import type { Sql } from '../database/sql.ts';
import { AMONG, first } from '../database/sql.ts';
import { UNSEEN_LETTER } from '../sharing/sight.ts';
import type { LetterRow } from './letter-rows.ts';

/** What a list of letters shows of one. */
export type BookedLetterRow = Pick<
  LetterRow,
  | 'id'
  | 'kind'
  | 'state'
  | 'subject'
  | 'language'
  | 'ownerId'
  | 'toName'
  | 'toAddress'
  | 'plannedAt'
  | 'notBefore'
  | 'nextTryAt'
  | 'settledAt'
  | 'attempts'
  | 'cancelledWhy'
  | 'fault'
  | 'response'
>;

/** Letters of an organisation before an id, the newest first; of some states, to one owner where asked. */
export function lettersNewestFirst(
  sql: Sql,
  organisationId: string,
  asked: {
    readonly states: readonly string[];
    readonly ownerId?: string | undefined;
    readonly before?: string | undefined;
    readonly most: number;
  },
): Promise<BookedLetterRow[]> {
  const { states, ownerId, before, most } = asked;
  const inStates = states.length === 0 ? '' : ` AND "state" ${AMONG}`;
  const toOwner = ownerId === undefined ? '' : ' AND "ownerId" = ?';
  const earlier = before === undefined ? '' : ' AND "id" < ?';
  return sql.all(
    `SELECT l."id", l."kind", l."state", l."subject", l."language", l."ownerId", l."toName", l."toAddress", l."plannedAt", l."notBefore", l."nextTryAt", l."settledAt", l."attempts", l."cancelledWhy", l."fault", l."response" FROM "letter" l WHERE l."organisationId" = ?${inStates}${toOwner}${earlier} AND NOT ${UNSEEN_LETTER} ORDER BY "id" DESC LIMIT ?`,
    [
      organisationId,
      ...(states.length === 0 ? [] : [states]),
      ...(ownerId === undefined ? [] : [ownerId]),
      ...(before === undefined ? [] : [before]),
      most,
    ],
  );
}

/** The name of an owner of an organisation; null where it has none of this id. */
export async function ownerNamed(
  sql: Sql,
  organisationId: string,
  ownerId: string,
): Promise<string | null> {
  const row = await first<{ name: string }>(
    sql,
    'SELECT "name" FROM "owner" WHERE "id" = ? AND "organisationId" = ?',
    [ownerId, organisationId],
  );
  return row?.name ?? null;
}
