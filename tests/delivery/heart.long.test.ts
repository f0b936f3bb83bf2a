import { afterAll, beforeAll, expect, test } from 'vitest';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { beatHeart, stopHeart } from '../../src/usecases/delivery/heartbeat.ts';
import { MAIL_FROM, openPostOffice, scripted, SENT } from './post-office.ts';

let server: Awaited<ReturnType<typeof startPostgresql>>;
let made = 0;
beforeAll(async () => {
  server = await startPostgresql();
});
afterAll(() => server.stop());

/** Two letters in the hands of a process, of which one may have gone out. */
async function held() {
  const office = await openPostOffice(await server.url(`hearts_${++made}`));
  for (const name of ['ada', 'ben']) await office.household(`${name}@example.net`);
  await office.round();
  await beatHeart(office.context, 'other');
  await office.store.writeSql((sql) =>
    sql.run(
      `UPDATE "letter" SET "state" = 'sending', "leaseToken" = 'other', "leaseHolder" = 'other', "leaseUntil" = '2026-06-12T11:15:00.000Z', "startedAt" = CASE WHEN "toAddress" LIKE 'ada%' THEN '2026-06-12T11:00:00.000Z' END`,
    ),
  );
  const sender = scripted(SENT);
  const deliver = () => deliverLetters(office.context, sender, { mailFrom: MAIL_FROM });
  const got = () => sender.got.map(({ to }) => to.address);
  return { office, deliver, got };
}

test('what a process holds whose heart beats is left to it', async () => {
  const { office, deliver, got } = await held();
  await deliver();
  expect(got()).toEqual([]);
  await office.close();
});

test.each([
  [
    'stopped',
    (office: Awaited<ReturnType<typeof openPostOffice>>) =>
      office.store.writeSql((sql) =>
        sql.run(
          `UPDATE "holder" SET "beatAt" = to_char((now() - interval '50 seconds') AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`,
        ),
      ),
  ],
  [
    'was said to end',
    (office: Awaited<ReturnType<typeof openPostOffice>>) => stopHeart(office.context, 'other'),
  ],
])(
  'one whose heart %s: taken over at once, after a minute where it may have gone out',
  async (_how, end) => {
    const { office, deliver, got } = await held();
    await end(office);
    await deliver();
    expect(got()).toEqual(['ben@example.net']);
    office.at('2026-06-12T11:01:00.000Z');
    await deliver();
    expect(got()).toEqual(['ben@example.net', 'ada@example.net']);
    for (const letter of await office.letters()) expect(letter.state).toBe('delivered');
    await office.close();
  },
);
