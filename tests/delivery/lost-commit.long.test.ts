import { afterEach, describe, expect, test } from 'vitest';
import { openStore } from '../../src/store/database/open-store.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { postgresqlDatabases } from '../setup/databases.ts';
import { cuttingProxy } from './cutting-proxy.ts';
import { MAIL_FROM, openPostOffice, scripted, SENT } from './post-office.ts';

const LETTERS = 9;
const LOST = { kind: 'unknown', detail: 'ECONNECTION at CONN: closed' } as const;

let open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const thing of open.toReversed()) await thing.close();
  open = [];
});

// A SQLite file has no line that could break.
describe('a commit whose answer is lost (PostgreSQL)', () => {
  const fresh = postgresqlDatabases();

  async function houseBehindProxy(letters: number) {
    const url = await fresh();
    const office = await openPostOffice(url);
    open.push(office);
    for (let i = 0; i < letters; i++) await office.household(`o${i}@example.net`);
    expect(await office.round()).toBe(letters);
    const proxy = await cuttingProxy(url);
    open.push(proxy);
    const store = await openStore(proxy.url);
    open.push(store);
    return { office, proxy, context: { ...office.context, store } };
  }

  test.each(
    [1, 2, 3, 4].flatMap((nth) => [
      { nth, when: 'after' as const },
      { nth, when: 'before' as const },
    ]),
  )('commit $nth, cut $when it: each letter leaves once, no resend used up', async (cut) => {
    const { office, proxy, context } = await houseBehindProxy(LETTERS);
    const sender = scripted(SENT);
    const before = proxy.commits();
    proxy.cutAt(cut.nth, cut.when);
    await deliverLetters(context, sender, { mailFrom: MAIL_FROM });
    expect(proxy.commits() - before).toBeGreaterThan(cut.nth);
    expect(new Set(sender.got.map(({ messageId }) => messageId)).size).toBe(LETTERS);
    expect(sender.got).toHaveLength(LETTERS);
    for (const letter of await office.letters()) {
      expect(letter).toMatchObject({ state: 'delivered', attempts: 1, resends: 0 });
    }
  });

  test('at the mark of a resend: it is still made, once, and then never', async () => {
    const { office, proxy, context } = await houseBehindProxy(1);
    await office.deliver(scripted(LOST));
    office.at('2026-06-12T11:15:00.000Z');
    // The first commit claims it, the second marks it.
    proxy.cutAt(2, 'after');
    const sender = scripted(LOST);
    await deliverLetters(context, sender, { mailFrom: MAIL_FROM });
    expect(sender.got).toHaveLength(1);
    const letter = await office.letter();
    expect(sender.got[0]).toMatchObject({ messageId: letter.messageId, date: letter.messageDate });
    expect(letter).toMatchObject({ state: 'unknown', resends: 1, attempts: 2, nextTryAt: null });
    office.at('2026-06-14T11:15:00.000Z');
    await deliverLetters(context, sender, { mailFrom: MAIL_FROM });
    expect(sender.got).toHaveLength(1);
  });

  test('at the settling of a dead address: concluded once', async () => {
    const { office, proxy, context } = await houseBehindProxy(1);
    proxy.cutAt(2, 'after');
    const full = { kind: 'refused', code: 552, detail: '552 5.2.2 full', verdict: 'soft' } as const;
    await deliverLetters(context, scripted(full), { mailFrom: MAIL_FROM });
    expect(await office.letter()).toMatchObject({ state: 'failed', attempts: 1 });
    const [standing] = await office.store.records.addressStanding.findMany();
    expect(JSON.parse(standing?.softFailures ?? '')).toHaveLength(1);
  });
});
