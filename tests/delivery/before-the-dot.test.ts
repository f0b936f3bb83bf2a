import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, expect, test } from 'vitest';
import { DELIVERY_DEFAULTS } from '../../src/domain/letters/delivery-figures.ts';
import { isAlarm, LETTER_KINDS } from '../../src/domain/round/letter-kind.ts';
import { smtpSender } from '../../src/mail/sender.ts';
import { logPosition } from '../../src/usecases/cars/log-position.ts';
import { recordVisit } from '../../src/usecases/visits/record-visit.ts';
import { startStub } from '../mail/smtp-stub.ts';
import type { Script } from '../mail/smtp-stub.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { PostOffice } from './post-office.ts';
import { NOON, emptyPostOffice, scripted, SENT } from './post-office.ts';

const QUICK = { connect: 2_000, greeting: 2_000, dns: 1_000, silence: 20_000, close: 500 };

let open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const thing of open.toReversed()) await thing.close();
  open = [];
});

function kept<T extends { close(): Promise<void> }>(thing: T): T {
  open.push(thing);
  return thing;
}

async function until(what: () => boolean | Promise<boolean>): Promise<void> {
  for (let turns = 0; !(await what()); turns++) {
    if (turns > 1_000) throw new Error('it never came to that');
    await sleep(10);
  }
}

eachDatabase('a letter on the line', (databases) => {
  async function officeWith(...addresses: string[]): Promise<PostOffice> {
    const office = kept(await emptyPostOffice(databases.dialect));
    for (const address of addresses) await office.household(address);
    expect(await office.round()).toBe(addresses.length);
    return office;
  }

  async function serverWith(script: Script) {
    const stub = kept(await startStub(script));
    return { stub, sender: kept(smtpSender({ url: stub.url, patience: QUICK })) };
  }

  test('is marked before its final dot and not before it is all out', async () => {
    const office = await officeWith('ada@example.net');
    const marks: Record<string, string | null> = {};
    const { stub, sender } = await serverWith((step) => {
      if (step !== 'RCPT' && step !== 'dot') return undefined;
      const noted = async () => {
        marks[step] = (await office.letter()).startedAt;
        stub.say('250 2.0.0 ok');
      };
      void noted();
      return 'silent';
    });
    expect(await office.deliver(sender)).toMatchObject({ delivered: 1 });
    expect(marks).toEqual({ RCPT: null, dot: NOON });
  });

  test('that became untrue before its dot is broken off, and nobody has it', async () => {
    const office = kept(await emptyPostOffice(databases.dialect));
    const { topId } = await office.household('ada@example.net');
    await office.round();
    let recorded: unknown;
    let answerRcpt = (): void => undefined;
    const { stub, sender } = await serverWith((step) => {
      if (step !== 'RCPT' || recorded !== undefined) return undefined;
      recorded = recordVisit(office.context, office.caller, topId, {
        kind: 'lubrication',
        doneOn: '2026-06-12',
      }).then(() => answerRcpt());
      return 'silent';
    });
    answerRcpt = () => stub.say('250 2.1.5 ok');
    expect(await office.deliver(sender)).toMatchObject({ delivered: 1, unknown: 0 });
    expect(recorded).toBeDefined();
    // The report of the visit follows on a connection of its own; nothing else was taken over.
    expect(stub.accepted).toEqual(['ada@example.net']);
    expect((await office.letters())[1]).toMatchObject({ kind: 'visit-report', state: 'delivered' });
    expect((await office.letters())[0]).toMatchObject({ state: 'cancelled', startedAt: null });
  });

  test('to a domain whose server hangs holds up no other', async () => {
    const slow = Array.from({ length: 6 }, (_, i) => `a${i}@slow.example.net`);
    const quick = Array.from({ length: 4 }, (_, i) => `b${i}@quick.example.com`);
    const office = await officeWith(...slow, ...quick);
    let hung = 0;
    const { stub, sender } = await serverWith((step, line) => {
      if (step !== 'RCPT' || !line.includes('@slow.')) return undefined;
      hung++;
      return 'silent';
    });
    const figures = { ...DELIVERY_DEFAULTS, slowSeconds: 0.2 };
    let ended = false;
    const run = office.deliver(sender, { figures }).finally(() => (ended = true));
    await until(() => stub.accepted.length === quick.length);
    expect(ended).toBe(false);
    // One hangs; those that were to go beside it were in flight already or wait.
    expect(hung).toBeLessThanOrEqual(DELIVERY_DEFAULTS.parallel);
    const waiting = async () =>
      (await office.letters()).filter(({ nextTryAt }) => nextTryAt === '2026-06-12T11:05:00.000Z');
    await until(async () => (await waiting()).length >= slow.length - hung);
    // What is written meanwhile leaves, though the run has not ended.
    await office.household('late@quick.example.com');
    await office.round();
    await until(async () => stub.accepted.includes('late@quick.example.com') || ended);
    expect(ended).toBe(false);
    await sender.close();
    expect(await run).toMatchObject({ delivered: quick.length + 1, unknown: 0 });
  }, 30_000);

  test('an alarm of unknown fate is sent again up to four times, others once', async () => {
    const office = await officeWith('ada@example.net');
    const { carId } = await office.household('ben@example.net', '2026-03-01');
    await logPosition(office.context, { ...office.caller, by: 'test' }, carId, {
      position: 'folded',
      at: '2026-06-06T08:00:00.000Z',
    });
    await office.round();
    const lost = scripted({ kind: 'unknown', detail: 'closed' });
    for (let minutes = 0; minutes <= 300; minutes += 16) {
      office.at(new Date(Date.parse(NOON) + minutes * 60_000).toISOString());
      await office.deliver(lost);
    }
    const sent = (name: string) => lost.got.filter(({ to }) => to.address.startsWith(name)).length;
    expect([sent('ada'), sent('ben')]).toEqual([2, 5]);
    for (const letter of await office.letters()) {
      expect(letter).toMatchObject({ state: 'unknown', nextTryAt: null });
    }
  });

  test('whose sender never asked is settled all the same', async () => {
    const office = await officeWith('ada@example.net');
    const { send } = scripted(SENT);
    await office.deliver({ send: (letter) => send(letter), close: async () => undefined });
    expect(await office.letter()).toMatchObject({ state: 'delivered', startedAt: NOON });
  });
});

test('alarms are the kinds that the statement takes for them', () => {
  expect(LETTER_KINDS.filter((kind) => kind.startsWith('folded-') || kind === 'must-stay')).toEqual(
    LETTER_KINDS.filter((kind) => isAlarm(kind)),
  );
});
