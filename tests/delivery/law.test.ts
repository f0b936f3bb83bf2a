import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { markEnding, claimLetters } from '../../src/store/letters/delivery-rows.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { addressHashOf } from '../../src/usecases/context/secret.ts';
import { changeOwner } from '../../src/usecases/owners/change-owner.ts';
import { eraseOwner } from '../../src/usecases/owners/erase-owner.ts';
import { recordVisit } from '../../src/usecases/visits/record-visit.ts';
import { logPosition } from '../../src/usecases/cars/log-position.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { PostOffice } from './post-office.ts';
import { MAIL_FROM, NOON, emptyPostOffice, scripted, SENT } from './post-office.ts';

const AGAIN = { kind: 'retry', code: 451, enhanced: '4.7.1', detail: '451 4.7.1 later' } as const;
const GONE = {
  kind: 'refused',
  code: 550,
  enhanced: '5.1.1',
  detail: '550 5.1.1 nobody here',
  verdict: 'dead',
} as const;
const LOST = { kind: 'unknown', detail: 'ECONNECTION at CONN: closed' } as const;
const HOUR = 3_600_000;

const minutesFrom = (from: string, to: string | null) =>
  (Date.parse(to ?? '') - Date.parse(from)) / 60_000;

eachDatabase('the delivery law', (databases) => {
  let office: PostOffice;
  beforeEach(async () => {
    office = await emptyPostOffice(databases.dialect);
  });
  afterEach(() => office.close());

  async function oneLetter(email = 'ada@example.net') {
    const household = await office.household(email);
    expect(await office.round()).toBe(1);
    return household;
  }

  test('a letter leaves once and is settled', async () => {
    await oneLetter();
    const sender = scripted(SENT);
    expect(await office.deliver(sender)).toEqual({
      delivered: 1,
      retried: 0,
      refused: 0,
      unknown: 0,
      cancelled: 0,
      setAside: 0,
    });
    expect(await office.deliver(sender)).toMatchObject({ delivered: 0 });
    const letter = await office.letter();
    expect(letter).toMatchObject({
      state: 'delivered',
      attempts: 1,
      settledAt: NOON,
      response: '250 2.0.0 queued',
      leaseToken: null,
      nextTryAt: null,
    });
    expect(sender.got).toHaveLength(1);
    expect(sender.got[0]).toMatchObject({
      messageId: letter.messageId,
      date: letter.messageDate,
      from: { name: 'Elmyard Soft Tops', address: 'care@example.org' },
      to: { name: 'Ada Quill', address: 'ada@example.net' },
      listUnsubscribe: { url: letter.stopUrl },
      listId: { id: `reminders.${letter.organisationId}.example.org` },
      headers: {},
    });
  });

  test('every letter of a long queue leaves once, a few at a time', async () => {
    await oneLetter();
    const [letter] = await office.letters();
    if (letter === undefined) throw new Error('no letter');
    await office.store.writeSql(async (sql) => {
      for (let i = 0; i < 119; i++) {
        await sql.run(
          `INSERT INTO "letter" ("id","organisationId","ownerId","kind","state","language","toName","toAddress","addressHash","topic","subject","messageId","messageDate","plannedAt","notBefore","nextTryAt") SELECT ?,"organisationId","ownerId","kind","state","language","toName","toAddress","addressHash","topic","subject",?,"messageDate","plannedAt","notBefore","nextTryAt" FROM "letter" WHERE "id" = ?`,
          [`copy-${i}`, `<copy-${i}@example.org>`, letter.id],
        );
        await sql.run(
          `INSERT INTO "letter_body" ("letterId","organisationId","text","html") SELECT ?,"organisationId","text","html" FROM "letter_body" WHERE "letterId" = ?`,
          [`copy-${i}`, letter.id],
        );
      }
    });
    let flying = 0;
    let most = 0;
    const sender = scripted(async () => {
      most = Math.max(most, ++flying);
      await new Promise((resolve) => {
        setTimeout(resolve, 1);
      });
      flying--;
      return SENT;
    });
    expect(await office.deliver(sender, { limit: 50 })).toMatchObject({ delivered: 50 });
    expect(await office.deliver(sender)).toMatchObject({ delivered: 70 });
    expect(new Set(sender.got.map(({ messageId }) => messageId)).size).toBe(120);
    expect(most).toBeGreaterThanOrEqual(5);
    expect(most).toBeLessThanOrEqual(15);
  });

  describe('turned away for now', () => {
    test('tried again after 1, 5, 15, 60, 240 and 720 minutes, give or take 20 %', async () => {
      await oneLetter();
      await office.store.write(({ records }) =>
        records.organisation.updateMany({ data: { letterHours: '0-24' } }),
      );
      let now = NOON;
      for (const [turn, wait] of [1, 5, 15, 60, 240, 720].entries()) {
        expect(await office.deliver(scripted(AGAIN))).toMatchObject({ retried: 1 });
        const letter = await office.letter();
        expect(letter).toMatchObject({ state: 'planned', attempts: turn + 1, startedAt: null });
        expect(minutesFrom(now, letter.nextTryAt) / wait).toBeGreaterThanOrEqual(0.8);
        expect(minutesFrom(now, letter.nextTryAt) / wait).toBeLessThanOrEqual(1.2);
        now = letter.nextTryAt ?? '';
        office.at(now);
      }
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(await office.letter()).toMatchObject({ state: 'delivered', attempts: 7, fault: null });
    });

    test('for 48 hours from the first attempt, and then given up', async () => {
      await oneLetter();
      let letter = await office.letter();
      const { notBefore } = letter;
      // The house was down for four days: that time does not count.
      const first = '2026-06-16T11:00:00.000Z';
      office.at(first);
      for (let turns = 0; turns < 30; turns++) {
        const sender = scripted(AGAIN);
        await office.deliver(sender);
        expect(sender.got[0]).toMatchObject({ messageId: letter.messageId });
        expect(sender.got[0]?.date).toBe(letter.messageDate);
        letter = await office.letter();
        if (letter.state !== 'planned') break;
        office.at(letter.nextTryAt ?? '');
      }
      expect(letter.state).toBe('failed');
      const hours = minutesFrom(first, letter.settledAt) / 60;
      expect(hours).toBeGreaterThanOrEqual(48);
      expect(hours).toBeLessThan(62);
      expect(letter.response).toBe('451 4.7.1 later');
      expect(letter).toMatchObject({ notBefore, firstTriedAt: first });
    });

    test('not at night: a retry waits for the morning of the owner', async () => {
      await oneLetter();
      office.at('2026-06-12T18:59:30.000Z');
      await office.deliver(scripted(AGAIN));
      // 20:00 in London is 19:00 UTC in June; the hours begin at 08:00, which is 07:00 UTC.
      expect((await office.letter()).nextTryAt).toBe('2026-06-13T07:00:00.000Z');
    });

    test('a mail server that cannot be reached costs the letter nothing but time', async () => {
      await oneLetter();
      const down = { kind: 'retry', detail: 'ESOCKET at CONN: refused' } as const;
      for (let turns = 0; turns < 12; turns++) {
        expect(await office.deliver(scripted(down))).toMatchObject({ retried: 1 });
        const { state, nextTryAt } = await office.letter();
        expect(state).toBe('planned');
        office.at(nextTryAt ?? '');
      }
      await office.deliver(scripted(SENT));
      expect((await office.letter()).state).toBe('delivered');
    });
  });

  describe('hours', () => {
    test('a letter whose turn comes at night is put off to the opening, no attempt counted', async () => {
      await oneLetter();
      office.at('2026-06-12T22:00:00.000Z');
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got).toEqual([]);
      expect(await office.letter()).toMatchObject({
        state: 'planned',
        attempts: 0,
        nextTryAt: '2026-06-13T07:00:00.000Z',
      });
    });

    test.each([
      [false, 0],
      [true, 1],
    ])('folded too long, at night, night alarms %s: %i letters', async (nightAlarms, sent) => {
      const { carId } = await office.household('ada@example.net', '2026-03-01');
      await office.store.write(({ records }) =>
        records.organisation.updateMany({ data: { nightAlarms } }),
      );
      await logPosition(office.context, { ...office.caller, by: 'test' }, carId, {
        position: 'folded',
        at: '2026-06-09T21:30:00.000Z',
      });
      office.at('2026-06-12T22:00:00.000Z');
      await office.round();
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got).toHaveLength(sent);
    });
  });

  describe('refused for good', () => {
    test('a dead address: noted, other letters to it cancelled, its own kept as failed', async () => {
      const { carId } = await oneLetter();
      await logPosition(office.context, { ...office.caller, by: 'test' }, carId, {
        position: 'folded',
        at: '2026-06-06T08:00:00.000Z',
      });
      await office.round();
      // One at a time, so that the second letter is still waiting.
      const sender = scripted(GONE, SENT);
      expect(await office.deliver(sender)).toMatchObject({ refused: 1, cancelled: 1 });
      expect(sender.got).toHaveLength(1);
      // The first made way once: advice waits for a day without an alarm.
      const states = (await office.letters()).map(({ state }) => state).sort();
      expect(states).toEqual(['cancelled', 'cancelled', 'failed']);
      const standing = await office.store.records.addressStanding.findFirst();
      expect(standing).toMatchObject({
        addressHash: addressHashOf('ada@example.net'),
        deadSince: NOON,
        deadWhy: '550 5.1.1 nobody here',
        refusedTopics: '[]',
      });
      expect(await office.round()).toBe(3);
    });

    test('once the address is corrected, what is still true is written again', async () => {
      const { ownerId } = await oneLetter();
      await office.deliver(scripted(GONE));
      await changeOwner(office.context, office.caller, ownerId, { email: 'new@example.net' }, '*');
      await office.round();
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got.map(({ to }) => to.address)).toEqual(['new@example.net']);
    });

    test.each([
      ['5.7.1', '550 5.7.1 blocked by policy', /look into this/],
      ['5.3.4', '552 5.3.4 too large', /look into this/],
    ])(
      '%s: the letter failed, the shop is told, nobody is suppressed',
      async (enhanced, detail, words) => {
        await oneLetter();
        const policy = { kind: 'refused', code: 550, enhanced, detail, verdict: 'policy' } as const;
        expect(await office.deliver(scripted(policy))).toMatchObject({ refused: 1 });
        const letter = await office.letter();
        expect(letter).toMatchObject({ state: 'failed', response: detail });
        expect(letter.fault).toMatch(words);
        expect(await office.store.records.addressStanding.count()).toBe(0);
      },
    );

    test('our own settings: the letter stays planned, the run stops', async () => {
      await oneLetter('ada@example.net');
      await office.household('ben@example.net');
      await office.round();
      const ours = { kind: 'configuration', detail: 'EAUTH: 535' } as const;
      const sender = scripted(ours);
      expect(await office.deliver(sender)).toMatchObject({ retried: 1 });
      expect(sender.got).toHaveLength(1);
      const letters = await office.letters();
      expect(letters.map(({ state, attempts }) => [state, attempts])).toEqual([
        ['planned', 0],
        ['planned', 0],
      ]);
      const waiting = letters.find(({ fault }) => fault !== null);
      expect(minutesFrom(NOON, waiting?.nextTryAt ?? null)).toBe(15);
      expect(waiting?.fault).toMatch(/mail settings/);
    });

    test('a letter that cannot be built fails alone', async () => {
      await oneLetter();
      await office.household('ben@example.net');
      await office.round();
      const [first] = await office.letters();
      await office.store.write(({ records }) =>
        records.letterBody.update({
          where: { letterId: first?.id ?? '' },
          data: { calendar: '{broken' },
        }),
      );
      expect(await office.deliver(scripted(SENT))).toMatchObject({ refused: 1, delivered: 1 });
    });
  });

  describe('fate unknown', () => {
    test('sent once more after 15 minutes under the same Message-ID and Date, then never', async () => {
      await oneLetter();
      const sender = scripted(LOST);
      expect(await office.deliver(sender)).toMatchObject({ unknown: 1 });
      let letter = await office.letter();
      expect(letter).toMatchObject({ state: 'unknown', resends: 0 });
      expect(minutesFrom(NOON, letter.nextTryAt)).toBe(15);
      office.at('2026-06-12T11:14:59.000Z');
      await office.deliver(sender);
      expect(sender.got).toHaveLength(1);
      office.at('2026-06-12T11:15:00.000Z');
      await office.deliver(sender);
      expect(sender.got).toHaveLength(2);
      expect(sender.got[1]).toEqual(sender.got[0]);
      letter = await office.letter();
      expect(letter).toMatchObject({ state: 'unknown', resends: 1, nextTryAt: null });
      office.at('2026-06-14T11:15:00.000Z');
      await office.deliver(sender);
      expect(sender.got).toHaveLength(2);
    });

    test('a sender that throws leaves the fate unknown, and the others go on', async () => {
      await oneLetter();
      await office.household('ben@example.net');
      await office.round();
      const sender = scripted(() => {
        throw new Error('broken');
      }, SENT);
      expect(await office.deliver(sender)).toMatchObject({ unknown: 1, delivered: 1 });
    });

    test('a resend that is taken settles it', async () => {
      await oneLetter();
      await office.deliver(scripted(LOST));
      office.at('2026-06-12T11:15:00.000Z');
      await office.deliver(scripted(SENT));
      expect(await office.letter()).toMatchObject({ state: 'delivered', resends: 1 });
    });

    test('a resend that is turned away for now was none, and is made later', async () => {
      await oneLetter();
      await office.deliver(scripted(LOST));
      office.at('2026-06-12T11:15:00.000Z');
      await office.deliver(scripted(AGAIN));
      const letter = await office.letter();
      expect(letter).toMatchObject({ state: 'unknown', resends: 0 });
      office.at(letter.nextTryAt ?? '');
      await office.deliver(scripted(SENT));
      expect((await office.letter()).state).toBe('delivered');
    });

    test('a resend that is no longer true is not made, and a person is told', async () => {
      const { topId } = await oneLetter();
      await office.deliver(scripted(LOST));
      const before = await office.letter();
      await recordVisit(office.context, office.caller, topId, {
        kind: 'lubrication',
        doneOn: '2026-06-12',
      });
      office.at('2026-06-12T11:15:00.000Z');
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got.map(({ messageId }) => messageId)).not.toContain(before.messageId);
      const letter = (await office.letters()).find(({ id }) => id === before.id);
      expect(letter).toMatchObject({ state: 'unknown', nextTryAt: null });
      expect(letter?.fault).toMatch(/no longer true/);
    });

    test('a resend to an erased owner is not made', async () => {
      const { ownerId } = await oneLetter();
      await office.deliver(scripted(LOST));
      await eraseOwner(office.context, office.caller, ownerId, '*');
      office.at('2026-06-12T11:15:00.000Z');
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got).toEqual([]);
      expect((await office.letter()).nextTryAt).toBeNull();
    });
  });

  describe('no longer true or welcome', () => {
    test('raised between plan and delivery: not sent', async () => {
      const { carId } = await office.household('ada@example.net', '2026-03-01');
      const by = { ...office.caller, by: 'test' };
      await logPosition(office.context, by, carId, {
        position: 'folded',
        at: '2026-06-08T08:00:00.000Z',
      });
      expect(await office.round()).toBe(1);
      await logPosition(office.context, by, carId, { position: 'raised', at: NOON });
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got).toEqual([]);
      expect((await office.letters()).map(({ state }) => state)).toEqual(['cancelled']);
    });

    test('raised while others are being sent: not sent', async () => {
      const { carId } = await office.household('ada@example.net', '2026-03-01');
      const by = { ...office.caller, by: 'test' };
      await logPosition(office.context, by, carId, {
        position: 'folded',
        at: '2026-06-08T08:00:00.000Z',
      });
      await office.household('ben@example.net');
      await office.round();
      // The folded letter waits behind the other, which goes first and alone.
      await office.store.writeSql((sql) =>
        sql.run(`UPDATE "letter" SET "nextTryAt" = ? WHERE "kind" = 'lubrication-due'`, [
          '2026-06-01T08:00:00.000Z',
        ]),
      );
      const sender = scripted(async () => {
        await logPosition(office.context, by, carId, { position: 'raised', at: NOON });
        return SENT;
      }, SENT);
      await office.deliver(sender);
      expect(sender.got.map(({ to }) => to.address)).toEqual(['ben@example.net']);
      const folded = (await office.letters()).find(({ kind }) => kind === 'folded-over');
      expect(folded).toMatchObject({ state: 'cancelled' });
    });

    test('time alone makes it untrue: cancelled, and written about afresh', async () => {
      await oneLetter();
      // Three weeks past due the first reminder is late.
      office.at('2026-07-03T11:00:00.000Z');
      const sender = scripted(SENT);
      expect(await office.deliver(sender)).toMatchObject({ cancelled: 1 });
      await office.round();
      await office.deliver(sender);
      expect((await office.letters()).map(({ kind, state }) => [kind, state])).toEqual([
        ['lubrication-due', 'cancelled'],
        ['lubrication-late', 'delivered'],
      ]);
    });

    test('refused between plan and delivery: not sent', async () => {
      await oneLetter();
      const letter = await office.letter();
      await office.store.write(({ records }) =>
        records.addressStanding.create({
          data: {
            organisationId: letter.organisationId,
            addressHash: letter.addressHash,
            refusedTopics: '["reminders"]',
          },
        }),
      );
      const sender = scripted(SENT);
      expect(await office.deliver(sender)).toMatchObject({ cancelled: 1 });
      expect(sender.got).toEqual([]);
    });

    test('refused while others are being sent: not sent', async () => {
      await office.household('ada@example.net');
      await office.household('ben@example.net');
      await office.household('cid@example.net');
      await office.round();
      const sender = scripted(async () => {
        await office.store.write(async ({ records }) => {
          for (const { organisationId, addressHash } of await records.owner.findMany()) {
            await records.addressStanding.create({
              data: { organisationId, addressHash, refusedTopics: '["reminders"]' },
            });
          }
        });
        return SENT;
      }, SENT);
      expect(await office.deliver(sender)).toMatchObject({ delivered: 1, cancelled: 2 });
    });

    test('the mark itself heeds a refusal, a dead address, an erasure and a lost lease', async () => {
      await oneLetter();
      const { id, organisationId, addressHash } = await office.letter();
      const tries = async (token: string, at = NOON) =>
        office.store.writeSql(async (sql) => {
          const letter = { id, leaseToken: token };
          return (await markEnding(sql, [letter], at, NOON)).has(id);
        });
      await office.store.writeSql((sql) =>
        claimLetters(sql, 'planned', {
          at: NOON,
          token: 'ours',
          leaseUntil: '2026-06-12T11:15:00.000Z',
          limit: 1,
          organisationId: null,
          holder: null,
        }),
      );
      expect(await tries('theirs')).toBe(false);
      expect(await tries('ours', '2026-06-12T11:15:00.000Z')).toBe(false);
      const standing = (data: object) =>
        office.store.write(({ records }) =>
          records.addressStanding.upsert({
            where: { organisationId_addressHash: { organisationId, addressHash } },
            create: { organisationId, addressHash, ...data },
            update: data,
          }),
        );
      await standing({ refusedTopics: '["care-notes","reminders"]' });
      expect(await tries('ours')).toBe(false);
      await standing({ refusedTopics: '["care-notes"]', deadSince: NOON });
      expect(await tries('ours')).toBe(false);
      await standing({ deadSince: null });
      await office.store.write(({ records }) =>
        records.owner.updateMany({ data: { erasedAt: NOON } }),
      );
      expect(await tries('ours')).toBe(false);
      await office.store.write(({ records }) =>
        records.owner.updateMany({ data: { erasedAt: null } }),
      );
      expect(await tries('ours')).toBe(true);
      expect(await office.letter()).toMatchObject({ startedAt: NOON, resends: 0 });
    });

    test('at night a long queue is put off whole, and its attempts are not counted', async () => {
      for (let i = 0; i < 7; i++) await office.household(`o${i}@example.net`);
      await office.round();
      office.at('2026-06-12T22:00:00.000Z');
      await office.deliver(scripted(SENT));
      const letters = await office.letters();
      expect(letters.map(({ attempts }) => attempts)).toEqual([0, 0, 0, 0, 0, 0, 0]);
      expect(new Set(letters.map(({ nextTryAt }) => nextTryAt))).toEqual(
        new Set(['2026-06-13T07:00:00.000Z']),
      );
    });

    test('advice that waited out its season is out of date', async () => {
      await oneLetter();
      await office.store.writeSql((sql) =>
        sql.run(`UPDATE "letter" SET "kind" = 'care-note', "topic" = 'care-notes'`),
      );
      office.at('2026-06-27T11:00:00.000Z');
      const sender = scripted(SENT);
      expect(await office.deliver(sender)).toMatchObject({ cancelled: 1 });
      expect((await office.letters())[0]).toMatchObject({ cancelledWhy: 'out of date' });
      expect(sender.got).toEqual([]);
    });
  });

  describe('leases', () => {
    const claim = (token: string, at = NOON) =>
      office.store.writeSql((sql) =>
        claimLetters(sql, 'planned', {
          at,
          token,
          leaseUntil: new Date(Date.parse(at) + HOUR / 4).toISOString(),
          limit: 10,
          organisationId: null,
          holder: null,
        }),
      );

    test('a worker that died before it began: planned again when the lease is over', async () => {
      await oneLetter();
      expect(await claim('dead')).toHaveLength(1);
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got).toEqual([]);
      office.at('2026-06-12T11:15:00.000Z');
      await office.deliver(sender);
      expect(await office.letter()).toMatchObject({ state: 'delivered', attempts: 2, resends: 0 });
    });

    test('a worker that died after it began: unknown, and after the wait sent once more', async () => {
      await oneLetter();
      await claim('dead');
      await office.store.writeSql((sql) => sql.run(`UPDATE "letter" SET "startedAt" = ?`, [NOON]));
      office.at('2026-06-12T11:15:00.000Z');
      const sender = scripted(SENT);
      await office.deliver(sender);
      expect(sender.got).toEqual([]);
      expect(await office.letter()).toMatchObject({
        state: 'unknown',
        nextTryAt: '2026-06-12T11:30:00.000Z',
      });
      office.at('2026-06-12T11:30:00.000Z');
      await office.deliver(sender);
      expect(await office.letter()).toMatchObject({ state: 'delivered', resends: 1 });
    });

    test('a slow worker: its late answer counts, unless the letter was claimed anew', async () => {
      await oneLetter();
      const slow = scripted(async () => {
        office.at('2026-06-12T11:20:00.000Z');
        await office.deliver(scripted(SENT));
        expect((await office.letter()).state).toBe('unknown');
        return SENT;
      });
      await office.deliver(slow);
      expect((await office.letter()).state).toBe('delivered');
    });

    test('an answer under an old token changes nothing', async () => {
      await oneLetter();
      const slow = scripted(async () => {
        office.at('2026-06-12T11:20:00.000Z');
        await office.deliver(scripted(SENT));
        office.at('2026-06-12T11:35:00.000Z');
        await office.deliver(scripted(SENT));
        return GONE;
      });
      await office.deliver(slow);
      expect((await office.letter()).state).toBe('delivered');
    });
  });

  test('a graceful stop finishes what is in flight and gives back the rest', async () => {
    for (let i = 0; i < 12; i++) await office.household(`o${i}@example.net`);
    await office.round();
    const stop = new AbortController();
    let sent = 0;
    const sender = scripted(async () => {
      if (++sent === 4) stop.abort();
      await new Promise((resolve) => {
        setTimeout(resolve, 5);
      });
      return SENT;
    });
    const { delivered } = await office.deliver(sender, { signal: stop.signal });
    expect(delivered).toBe(sender.got.length);
    expect(delivered).toBeLessThan(12);
    const letters = await office.letters();
    const waiting = letters.filter(({ state }) => state === 'planned');
    expect(waiting).toHaveLength(12 - delivered);
    for (const letter of waiting) {
      expect(letter).toMatchObject({ attempts: 0, startedAt: null, nextTryAt: NOON });
    }
    expect(await office.deliver(scripted(SENT))).toMatchObject({ delivered: 12 - delivered });
  });

  test('a database that fails once does not repeat or lose what was sent', async () => {
    for (let i = 0; i < 6; i++) await office.household(`o${i}@example.net`);
    await office.round();
    let writes = 0;
    const shaky: typeof office.store = {
      ...office.store,
      writeSql: (work) =>
        ++writes % 3 === 0
          ? Promise.reject(new Error('connection lost'))
          : office.store.writeSql(work),
    };
    const sender = scripted(SENT);
    const context = { ...office.context, store: shaky };
    expect(await deliverLetters(context, sender, { mailFrom: MAIL_FROM })).toMatchObject({
      delivered: 6,
    });
    expect(sender.got).toHaveLength(6);
    expect((await office.letters()).every(({ state }) => state === 'delivered')).toBe(true);
  });

  test('a database that is gone ends the run with its fault, after the letters came back', async () => {
    await oneLetter();
    let gone = false;
    const lost: typeof office.store = {
      ...office.store,
      writeSql: (work) =>
        gone ? Promise.reject(new Error('connection lost')) : office.store.writeSql(work),
    };
    const sender = scripted(() => {
      gone = true;
      return SENT;
    });
    const context = { ...office.context, store: lost };
    await expect(deliverLetters(context, sender, { mailFrom: MAIL_FROM })).rejects.toThrow(
      'connection lost',
    );
    // It may have arrived, so it goes the way of every letter of unknown fate.
    office.at('2026-06-12T11:15:00.000Z');
    await office.deliver(scripted(SENT));
    expect((await office.letter()).state).toBe('unknown');
  });

  test('two runs at once deliver each letter once', async () => {
    for (let i = 0; i < 16; i++) await office.household(`o${i}@example.net`);
    await office.round();
    const sender = scripted(async () => {
      await new Promise((resolve) => {
        setTimeout(resolve, 2);
      });
      return SENT;
    });
    const [a, b] = await Promise.all([office.deliver(sender), office.deliver(sender)]);
    expect(a.delivered + b.delivered).toBe(16);
    expect(new Set(sender.got.map(({ messageId }) => messageId)).size).toBe(16);
  });
});
