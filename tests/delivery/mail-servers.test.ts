import PostalMime from 'postal-mime';
import { afterEach, expect, test } from 'vitest';
import { toMailOptions } from '../../src/mail/outgoing.ts';
import { smtpSender } from '../../src/mail/sender.ts';
import type { Sender } from '../../src/mail/sender.ts';
import { traySender, readTray } from '../../src/mail/tray.ts';
import { tokenOf } from '../../src/mail/verp.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { PostOffice } from './post-office.ts';
import { emptyPostOffice, openPostOffice, scripted, SENT } from './post-office.ts';
import type { Manners, Sink } from './sink.ts';
import { startSink } from './sink.ts';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createTransport } from 'nodemailer';

const QUICK = { connect: 2_000, greeting: 2_000, dns: 1_000, silence: 5_000, close: 1_000 };

let open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const thing of open.toReversed()) await thing.close();
  open = [];
});

function kept<T extends { close(): Promise<void> }>(thing: T): T {
  open.push(thing);
  return thing;
}

async function mailServer(manners: Manners = {}): Promise<{ sink: Sink; sender: Sender }> {
  const sink = kept(await startSink(manners));
  return { sink, sender: kept(smtpSender({ url: sink.url, patience: QUICK })) };
}

eachDatabase('delivery through a real mail server', (databases) => {
  async function officeWith(...names: string[]): Promise<PostOffice> {
    const office = kept(await emptyPostOffice(databases.dialect));
    for (const name of names) await office.household(`${name}@example.net`);
    expect(await office.round()).toBe(names.length);
    return office;
  }

  async function stateOf(office: PostOffice): Promise<Record<string, string>> {
    const letters = await office.letters();
    return Object.fromEntries(letters.map((l) => [l.toAddress.split('@')[0], l.state]));
  }

  test('one that accepts, refuses, greylists and hangs up after the dot, all in one run', async () => {
    const greyed = new Set<string>();
    const dropped = new Set<string>();
    const { sink, sender } = await mailServer({
      recipient(address) {
        if (address.startsWith('gone')) return '550 5.1.1 nobody here';
        if (address.startsWith('policy')) return '550 5.7.1 not from you';
        if (!address.startsWith('grey') || greyed.has(address)) return null;
        greyed.add(address);
        return '451 4.7.1 come back later';
      },
      letter(address, id) {
        if (!address.startsWith('drop') || dropped.has(id)) return null;
        dropped.add(id);
        return 'drop';
      },
    });
    const office = await officeWith('fine', 'gone', 'policy', 'grey', 'drop', 'good');
    expect(await office.deliver(sender)).toEqual({
      delivered: 2,
      retried: 1,
      refused: 2,
      unknown: 1,
      cancelled: 0,
      setAside: 0,
    });
    expect(await stateOf(office)).toEqual({
      fine: 'delivered',
      gone: 'failed',
      policy: 'failed',
      grey: 'planned',
      drop: 'unknown',
      good: 'delivered',
    });
    const standings = await office.store.records.addressStanding.findMany();
    expect(standings.map(({ deadWhy }) => deadWhy)).toEqual(['550 5.1.1 nobody here']);
    office.at('2026-06-12T11:20:00.000Z');
    expect(await office.deliver(sender)).toMatchObject({ delivered: 2 });
    expect(await stateOf(office)).toMatchObject({ grey: 'delivered', drop: 'delivered' });
    // The one whose answer was lost came twice, under one Message-ID; the others once.
    const drop = (await office.letters()).find((l) => l.toAddress.startsWith('drop'));
    expect([...sink.copies.values()].toSorted((a, b) => a - b)).toEqual([1, 1, 1, 2]);
    expect(sink.copies.get(drop?.messageId ?? '')).toBe(2);
    expect(sink.contents.get(drop?.messageId ?? '')?.size, 'both the same bytes').toBe(1);
  });

  test('a server that is away stops the run after a few tries, and nothing is lost', async () => {
    const { sink, sender } = await mailServer();
    await sink.close();
    const office = await officeWith(...Array.from({ length: 9 }, (_, i) => `o${i}`));
    expect(await office.deliver(sender)).toMatchObject({ retried: 5, delivered: 0 });
    const letters = await office.letters();
    expect(letters.every(({ state }) => state === 'planned')).toBe(true);
    expect(letters.filter(({ attempts }) => attempts === 0)).toHaveLength(4);
  });

  test('what arrives bears the headers that let its reader refuse, answer and file it', async () => {
    const office = await officeWith('ada');
    await office.store.write(({ records }) =>
      records.organisation.updateMany({ data: { email: 'desk@example.com' } }),
    );
    const calendar = JSON.stringify({
      filename: 'visit.ics',
      method: 'PUBLISH',
      content: 'BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n',
    });
    await office.store.write(({ records }) =>
      records.letterBody.updateMany({ data: { calendar } }),
    );
    const sender = scripted(SENT);
    await office.deliver(sender, { bounceAddress: 'bounces@example.org' });
    const [outgoing] = sender.got;
    if (outgoing === undefined) throw new Error('nothing was sent');
    const letter = await office.letter();
    expect(tokenOf(outgoing.envelopeFrom ?? '')).toBe(letter.id);
    const built = await createTransport({ streamTransport: true, buffer: true }).sendMail(
      toMailOptions(outgoing),
    );
    const mail = await PostalMime.parse(built.message as Buffer);
    const header = (key: string) => mail.headers.find((h) => h.key === key)?.value;
    expect(header('list-unsubscribe')).toBe(`<${letter.stopUrl}>`);
    expect(header('list-unsubscribe-post')).toBe('List-Unsubscribe=One-Click');
    expect(header('auto-submitted')).toBe('auto-generated');
    expect(header('list-id')).toContain(`<reminders.${letter.organisationId}.example.org>`);
    expect(mail.replyTo?.map(({ address }) => address)).toEqual(['desk@example.com']);
    expect(mail.from).toMatchObject({ name: 'Elmyard Soft Tops', address: 'care@example.org' });
    expect(mail.attachments.map(({ filename, mimeType }) => [filename, mimeType])).toEqual([
      ['visit.ics', 'text/calendar'],
    ]);
  });

  test('the mail tray takes every letter, and a second time changes nothing', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'foldkeep-tray-'));
    kept({ close: async () => rmSync(folder, { recursive: true }) });
    const office = await officeWith('ada', 'ben');
    const tray = kept(traySender(folder));
    expect(await office.deliver(tray)).toMatchObject({ delivered: 2 });
    expect((await readTray(folder)).map(({ to }) => to).sort()).toEqual([
      'ada@example.net',
      'ben@example.net',
    ]);
  });

  // One SQLite file belongs to one process.
  test.runIf(databases.dialect === 'postgresql')(
    'two processes on one database deliver each letter once',
    async () => {
      const { sink, sender } = await mailServer();
      const url = await databases.fresh();
      const first = kept(await openPostOffice(url));
      const second = kept(await openPostOffice(url));
      for (let i = 0; i < 24; i++) await first.household(`o${i}@example.net`);
      await first.round();
      const other = kept(smtpSender({ url: sink.url, patience: QUICK }));
      const [a, b] = await Promise.all([first.deliver(sender), second.deliver(other)]);
      expect(a.delivered + b.delivered).toBe(24);
      expect(a.delivered).toBeGreaterThan(0);
      expect(b.delivered).toBeGreaterThan(0);
      expect([...sink.copies.values()].every((copies) => copies === 1)).toBe(true);
      expect(sink.copies.size).toBe(24);
    },
  );
});
