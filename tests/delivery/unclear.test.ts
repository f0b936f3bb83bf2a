import { afterEach, beforeEach, expect, test } from 'vitest';
import type { Sql } from '../../src/store/database/sql.ts';
import type { Store } from '../../src/store/database/store.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { PostOffice } from './post-office.ts';
import { MAIL_FROM, NOON, emptyPostOffice, scripted, SENT } from './post-office.ts';

eachDatabase('a record that cannot be read', (databases) => {
  let office: PostOffice;
  beforeEach(async () => {
    office = await emptyPostOffice(databases.dialect);
    for (const name of ['ada', 'ben', 'cid', 'dee']) await office.household(`${name}@example.net`);
    await office.round();
  });
  afterEach(() => office.close());

  const letterTo = async (name: string) => {
    const letter = (await office.letters()).find((one) => one.toAddress.startsWith(name));
    if (letter === undefined) throw new Error(`no letter to ${name}`);
    return letter;
  };
  const sumOfBen = async (because: string) => {
    const { ownerId } = await letterTo('ben');
    await office.store.write(async ({ records }) => {
      const car = await records.car.findFirstOrThrow({ where: { ownerId } });
      await records.top.updateMany({ where: { carId: car.id }, data: { because } });
    });
  };

  test('holds up its own letter alone, which says why and goes out once it is mended', async () => {
    await sumOfBen('{broken');
    const sender = scripted(SENT);
    expect(await office.deliver(sender)).toMatchObject({ delivered: 3, setAside: 1 });
    expect(sender.got.map(({ to }) => to.address)).not.toContain('ben@example.net');
    expect(await letterTo('ben')).toMatchObject({
      state: 'planned',
      attempts: 0,
      startedAt: null,
      nextTryAt: '2026-06-12T12:00:00.000Z',
    });
    expect((await letterTo('ben')).fault).toMatch(
      /a record about its cars cannot be read \(.*JSON/,
    );
    expect(await office.deliver(sender)).toMatchObject({ delivered: 0, setAside: 0 });
    await sumOfBen('["12 months"]');
    office.at('2026-06-12T12:00:00.000Z');
    expect(await office.deliver(sender)).toMatchObject({ delivered: 1 });
    expect(await letterTo('ben')).toMatchObject({ state: 'delivered', fault: null });
  });

  test('holds up a resend without using it up', async () => {
    const lost = { kind: 'unknown', detail: 'ECONNECTION at CONN: closed' } as const;
    await office.deliver(scripted(lost));
    await sumOfBen('{broken');
    office.at('2026-06-12T11:15:00.000Z');
    const sender = scripted(SENT);
    expect(await office.deliver(sender)).toMatchObject({ delivered: 3, setAside: 1 });
    expect(await letterTo('ben')).toMatchObject({ state: 'unknown', resends: 0, startedAt: NOON });
    await sumOfBen('["12 months"]');
    office.at('2026-06-12T12:15:00.000Z');
    expect(await office.deliver(sender)).toMatchObject({ delivered: 1 });
  });

  test('holds up no resend behind it, though it is the first to be looked at', async () => {
    const lost = { kind: 'unknown', detail: 'ECONNECTION at CONN: closed' } as const;
    await office.deliver(scripted(lost));
    await sumOfBen('{broken');
    const { id } = await letterTo('ben');
    await office.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "nextTryAt" = '2026-06-12T11:14:00.000Z' WHERE "id" = ?`, [id]),
    );
    office.at('2026-06-12T11:15:00.000Z');
    expect(await office.deliver(scripted(SENT))).toMatchObject({ delivered: 3, setAside: 1 });
  });

  test('found only when a doubtful letter is decided about: that one waits', async () => {
    for (const name of ['ben', 'cid']) {
      const { organisationId, addressHash } = await letterTo(name);
      await office.store.write(({ records }) =>
        records.addressStanding.create({
          data: { organisationId, addressHash, refusedTopics: '["reminders"]' },
        }),
      );
    }
    const { id } = await letterTo('ben');
    const store = failingFor(office.store, id);
    const sender = scripted(SENT);
    const done = await deliverLetters({ ...office.context, store }, sender, {
      mailFrom: MAIL_FROM,
    });
    expect(done).toMatchObject({ delivered: 2, cancelled: 1, setAside: 1 });
    expect(await letterTo('cid')).toMatchObject({ state: 'cancelled' });
    expect(await letterTo('ben')).toMatchObject({ state: 'planned', attempts: 0 });
    expect((await letterTo('ben')).fault).toMatch(/cannot be read \(no such word\)/);
    // The next look finds the reader's wish as it stands.
    office.at('2026-06-12T12:00:00.000Z');
    expect(await office.deliver(sender)).toMatchObject({ cancelled: 1 });
  });
});

/** A store in which nobody can read why one letter may be unwelcome. */
function failingFor(store: Store, letterId: string): Store {
  const failing = (sql: Sql): Sql => ({
    ...sql,
    all: (text, values) => {
      const reads = text.includes('s."refusedTopics" FROM "letter"');
      if (reads && values?.flat().includes(letterId) === true) throw new Error('no such word');
      return sql.all(text, values);
    },
  });
  return { ...store, writeSql: (work) => store.writeSql((sql) => work(failing(sql))) };
}
