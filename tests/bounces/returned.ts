import { fixture } from '../mail/report-fixture.ts';
import type { Answer, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

export interface SentLetter {
  readonly id: string;
  readonly messageId: string;
  readonly ownerId: string;
  readonly carId: string;
  readonly topId: string;
}

/** An owner at an address with an overdue top, and the reminder about it, delivered. */
export async function sentLetter(
  shop: Workshop,
  email: string,
  registration = 'FK 1',
): Promise<SentLetter> {
  const { ownerId, carId, topId } = await fitted(shop, {
    owner: { email },
    car: { registration },
    top: { fittedOn: '2025-05-10' },
  });
  return { ownerId, carId, topId, ...(await nextLetter(shop, carId)) };
}

/** Holds the round and lets what it wrote about a car leave; gives back its reminder. */
export async function nextLetter(
  shop: Workshop,
  carId: string,
): Promise<{ id: string; messageId: string }> {
  await shop.post('/v1/round', {});
  const { body } = await shop.get(`/v1/letters?carId=${carId}&state=planned`);
  const letter = body.items.find(({ kind }: { kind: string }) => kind.startsWith('lubrication'));
  if (letter === undefined) throw new Error('no reminder was written');
  await deliver(shop, letter.id);
  return { id: letter.id, messageId: letter.messageId };
}

export async function deliver(shop: Workshop, id: string): Promise<void> {
  await shop.context.store.writeSql((sql) =>
    sql.run(
      `UPDATE "letter" SET "state" = 'delivered', "startedAt" = "notBefore", "nextTryAt" = NULL WHERE "id" = ?`,
      [id],
    ),
  );
}

/** A message of the fixtures, put together as if it were about a letter of ours. */
export async function reportAbout(
  name: string,
  letter: { readonly token?: string; readonly messageId?: string; readonly address?: string },
): Promise<string> {
  let raw = await fixture(name);
  if (letter.token !== undefined) raw = raw.replaceAll(/\+tok\d+@/g, `+${letter.token}@`);
  if (letter.messageId !== undefined) {
    raw = raw.replaceAll(/<letter-\d\.1@example\.org>/g, letter.messageId);
  }
  return raw;
}

/** A delivery report in which one recipient failed with a status. */
export function failure(
  letter: { readonly token: string; readonly address: string },
  status: string,
  more: readonly string[] = [],
  action = 'failed',
): string {
  return [
    'From: <>',
    `To: <bounces+${letter.token}@example.org>`,
    'Subject: Undelivered',
    'MIME-Version: 1.0',
    'Content-Type: multipart/report; report-type=delivery-status; boundary=b',
    '',
    '--b',
    'Content-Type: message/delivery-status',
    '',
    'Reporting-MTA: dns; mta.example.net',
    '',
    `Final-Recipient: rfc822; ${letter.address}`,
    `Action: ${action}`,
    `Status: ${status}`,
    ...more,
    '',
    '--b--',
    '',
  ].join('\r\n');
}

/** Hands a raw message in. */
export async function handIn(
  shop: Workshop,
  raw: string,
  type = 'message/rfc822',
): Promise<Answer> {
  const response = await shop.server.inject({
    method: 'POST',
    url: '/v1/bounces',
    headers: { authorization: `Bearer ${shop.key}`, 'content-type': type },
    payload: Buffer.from(raw),
  });
  return {
    status: response.statusCode,
    body: response.json(),
    headers: response.headers,
  };
}
