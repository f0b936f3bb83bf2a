import { afterEach, beforeEach, expect, test } from 'vitest';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import type { Desk } from '../pages/desk.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { scripted, SENT } from './post-office.ts';

let shop: Workshop;
let desk: Desk;
let id: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  id = (await shop.post('/v1/round')).body.letters[0].id;
  await shop.context.store.writeSql((sql) =>
    sql.run(
      `UPDATE "letter" SET "state" = CASE WHEN "id" = ? THEN 'unknown' ELSE 'cancelled' END, "nextTryAt" = NULL, "startedAt" = "plannedAt", "resends" = 1, "fault" = 'Nobody knows.'`,
      [id],
    ),
  );
});
afterEach(() => shop.close());

const path = () => `/letters/${id}/fate`;
const letter = () => shop.context.store.records.letter.findUniqueOrThrow({ where: { id } });

async function delivered(): Promise<number> {
  const sender = scripted(SENT);
  await deliverLetters(shop.context, sender, { mailFrom: { name: 'F', address: 'f@example.org' } });
  return sender.got.length;
}

test('the day’s page offers to send it again: one press, one letter, under its own Message-ID', async () => {
  const { messageId } = await letter();
  expect(await delivered()).toBe(0);
  const today = await desk.open('/today');
  expect(wordsOf(today.html)).toContain('Nobody knows.');
  const answer = await desk.send(today, path(), { fate: 'send-again' });
  expect([answer.status, answer.headers.location]).toEqual([303, '/today?done=send-again']);
  await desk.send(today, path(), { fate: 'send-again' });
  expect(await delivered()).toBe(1);
  expect(await letter()).toMatchObject({ state: 'delivered', messageId, resends: 2 });
  expect((await desk.open('/today')).html).not.toContain(path());
});

test('or to let it be, because it has arrived', async () => {
  await desk.send(await desk.open('/today'), path(), { fate: 'arrived' });
  expect(await letter()).toMatchObject({ state: 'delivered', nextTryAt: null });
  expect(await delivered()).toBe(0);
});

test('by API: given up; and only where it waits for a word, of one’s own letters', async () => {
  const tell = (fate: string) => shop.post(`/v1${path()}`, { fate });
  expect((await tell('never')).status).toBe(400);
  expect(await tell('given-up')).toMatchObject({ status: 200, body: { id, state: 'failed' } });
  expect((await tell('send-again')).status).toBe(409);
  expect(await delivered()).toBe(0);
});
