import { afterEach, expect, test } from 'vitest';
import { smtpSender } from '../../src/mail/sender.ts';
import type { SoftFailure } from '../../src/domain/standing/soft-failures.ts';
import { applyReport } from '../../src/usecases/delivery/apply-report.ts';
import { readStanding } from '../../src/usecases/owners/read-standing.ts';
import { addressHashOf } from '../../src/usecases/context/secret.ts';
import { failure } from '../bounces/returned.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { PostOffice } from './post-office.ts';
import { emptyPostOffice, scripted, SENT } from './post-office.ts';
import { startSink } from './sink.ts';

// RFC 3463 sections 3.2 to 3.8 (published) for what the codes mean; which of them end, count or alert
// is derived from it: an address is condemned by what RFC 3463 calls a permanent fault of the address
// itself, a full mailbox is passing whatever its class, a policy blames no address.
const CONSEQUENCES = {
  '5.1.1': 'dead',
  '5.1.2': 'dead',
  '5.1.3': 'dead',
  '5.1.6': 'dead',
  '5.2.1': 'dead',
  '5.2.2': 'counted',
  '5.2.3': 'counted',
  '5.3.1': 'counted',
  '5.3.2': 'counted',
  '5.4.1': 'counted',
  '5.4.2': 'counted',
  '5.4.3': 'counted',
  '5.4.4': 'counted',
  '5.4.5': 'counted',
  '5.4.6': 'counted',
  '5.4.7': 'counted',
  '5.3.4': 'alert',
  '5.7.1': 'alert',
  '5.7.26': 'alert',
} as const;
const PASSING = ['4.1.1', '4.2.1', '4.2.2', '4.3.1', '4.4.1', '4.4.7', '4.7.1'] as const;

const addressFor = (code: string) => `c${code.replaceAll('.', '-')}@example.net`;
const codeIn = (address: string) => address.slice(1).split('@')[0]?.replaceAll('-', '.') ?? '';
const expectedFor = (codes: readonly string[], consequences: Record<string, string>) =>
  Object.fromEntries(codes.map((code) => [code, consequences[code] ?? 'counted']));

let open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const thing of open.toReversed()) await thing.close();
  open = [];
});

eachDatabase('an answer of a mail server and a report that comes back', (databases) => {
  async function officeFor(codes: readonly string[]): Promise<PostOffice> {
    const office = await emptyPostOffice(databases.dialect);
    open.push(office);
    for (const code of codes) await office.household(addressFor(code));
    await office.store.write(({ records }) =>
      records.organisation.updateMany({ data: { letterHours: '0-24' } }),
    );
    expect(await office.round()).toBe(codes.length);
    return office;
  }

  /** What is known of each address afterwards; nobody may be both counted and alerted about. */
  async function consequencesIn(office: PostOffice, codes: readonly string[]) {
    const rows = await office.store.records.addressStanding.findMany();
    const { alerts } = await readStanding(office.context, office.caller, { limit: 100 });
    const letters = await office.letters();
    return Object.fromEntries(
      codes.map((code) => {
        const address = addressFor(code);
        const row = rows.find(({ addressHash }) => addressHash === addressHashOf(address));
        const letter = letters.find(({ toAddress }) => toAddress === address);
        const counted = JSON.parse(row?.softFailures ?? '[]') as SoftFailure[];
        const found = [
          ...(row?.deadSince ? ['dead'] : []),
          ...counted.map(({ letterId }) => (letterId === letter?.id ? 'counted' : 'another')),
          ...(alerts.some(({ letterId }) => letterId === letter?.id) ? ['alert'] : []),
        ];
        expect(letter?.state).toBe('failed');
        return [code, found.join()];
      }),
    );
  }

  const CODES = Object.keys(CONSEQUENCES);

  test('said at once: the codes of class 5 have these consequences', async () => {
    const sink = await startSink({ recipient: (to) => `550 ${codeIn(to)} not taken` });
    const sender = smtpSender({ url: sink.url });
    open.push(sink, sender);
    const office = await officeFor(CODES);
    expect(await office.deliver(sender)).toMatchObject({ refused: CODES.length });
    expect(await consequencesIn(office, CODES)).toEqual(expectedFor(CODES, CONSEQUENCES));
  });

  test('reported later: the same codes have the same consequences', async () => {
    const office = await officeFor(CODES);
    await office.deliver(scripted(SENT));
    for (const { id, toAddress } of await office.letters()) {
      const raw = failure({ token: id, address: toAddress }, codeIn(toAddress));
      expect(await applyReport(office.context, Buffer.from(raw), null)).toMatchObject({
        applied: true,
      });
    }
    expect(await consequencesIn(office, CODES)).toEqual(expectedFor(CODES, CONSEQUENCES));
  });

  test('class 4 counts once it is given up, at once as in a report', async () => {
    const sink = await startSink({ recipient: (to) => `450 ${codeIn(to)} not now` });
    const sender = smtpSender({ url: sink.url });
    open.push(sink, sender);
    const office = await officeFor(PASSING);
    await office.deliver(sender);
    expect(await office.store.records.addressStanding.count()).toBe(0);
    for (let hours = 1; hours <= 60; hours += 12) {
      office.at(new Date(Date.parse('2026-06-12T11:00:00Z') + hours * 3_600_000).toISOString());
      await office.deliver(sender);
    }
    expect(await consequencesIn(office, PASSING)).toEqual(expectedFor(PASSING, {}));

    const reported = await officeFor(PASSING);
    await reported.deliver(scripted(SENT));
    for (const { id, toAddress } of await reported.letters()) {
      const raw = failure({ token: id, address: toAddress }, codeIn(toAddress));
      await applyReport(reported.context, Buffer.from(raw), null);
    }
    expect(await consequencesIn(reported, PASSING)).toEqual(expectedFor(PASSING, {}));
  });

  test('answers and reports count together: the third within 30 days ends it (shop rule)', async () => {
    const sink = await startSink({ recipient: () => '552 5.2.2 full' });
    const sender = smtpSender({ url: sink.url });
    open.push(sink, sender);
    const office = await officeFor([]);
    const address = 'ada@example.net';
    // Three cars of three owners who share an address: three letters to it.
    for (let i = 0; i < 3; i++) await office.household(address);
    expect(await office.round()).toBe(3);
    const isDead = async () => {
      const row = await office.store.records.addressStanding.findFirst();
      return row === null ? null : row.deadWhy;
    };
    await office.deliver(sender, { limit: 2 });
    expect(await isDead()).toBeNull();
    const third = (await office.letters()).find(({ state }) => state === 'planned');
    await office.deliver(scripted(SENT));
    const raw = failure({ token: third?.id ?? '', address }, '5.2.2');
    await applyReport(office.context, Buffer.from(raw), null);
    expect(await isDead()).toMatch(/^3 letters came back within 30 days/);
  });
});
