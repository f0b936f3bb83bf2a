import { createTransport } from 'nodemailer';
import PostalMime from 'postal-mime';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { checkMailSetup } from '../../src/usecases/delivery/check-mail.ts';
import type { StandingRecord } from '../../src/usecases/owners/read-standing.ts';
import { independentVerdict } from '../mail/independent-verdict.ts';
import { runnable } from '../setup/runnable.ts';
import type { Filed, MailHouse } from './mail-house.ts';
import { MAIL_PROGRAMS, openMailHouse } from './mail-house.ts';
import type { Neighbour } from './neighbour.ts';
import { startNeighbour } from './neighbour.ts';
import type { Program, Reminder } from './program.ts';
import { NOW, openProgram } from './program.ts';

/** One mailbox for returned letters a test. */
const BOXES = ['arrive', 'fail', 'wait', 'other', 'fault', 'clock'] as const;
const ADDRESSES = {
  'ada@post.example.net': 'ada',
  'bo@post.example.net': 'bo',
  'care@example.org': 'care',
  ...Object.fromEntries(BOXES.map((box) => [`${box}@returns.example.org`, box])),
};

const here = runnable('FOLDKEEP_POSTFIX', MAIL_PROGRAMS, process.getuid?.() === 0);

/**
 * The whole way of a letter and back: our delivery, a real Postfix, its own delivery reports (RFC
 * 3464), a real Dovecot, our reader. Nothing in it was written by us but what is tested.
 */
describe.runIf(here)(
  'real mail servers (postfix and dovecot-imapd, as root)',
  { timeout: 240_000 },
  () => {
    let house: MailHouse;
    let neighbour: Neighbour;
    let program: Program;
    beforeAll(async () => {
      neighbour = await startNeighbour();
      // Nothing listens on port 1.
      house = await openMailHouse(ADDRESSES, {
        'neighbour.example.net': neighbour.port,
        'away.example.net': 1,
      });
    }, 240_000);
    afterEach(async () => {
      await program?.close();
      neighbour.answers.clear();
      neighbour.taken.length = 0;
    });
    afterAll(async () => {
      await house?.close();
      await neighbour?.close();
    }, 60_000);

    const open = async (box: (typeof BOXES)[number]) => {
      const bounceAddress = `${box}@returns.example.org`;
      const bounceImapUrl = house.imapUrl(box);
      program = await openProgram({ smtpUrl: house.smtpUrl, bounceAddress, bounceImapUrl });
    };
    const remindOne = async (to: string) => (await program.remind([to])).get(to);
    const letter = async (to: Reminder | undefined) =>
      (await program.get(`/v1/letters/${to?.id}`)).body;
    const standing = async (): Promise<StandingRecord> => (await program.get('/v1/standing')).body;

    it('take a letter over once, signed as it was and with its way to refuse', async () => {
      await open('arrive');
      const ada = await remindOne('ada@post.example.net');
      const [filed, ...more] = await house.arrived('ada', 1);
      expect(more).toEqual([]);
      const raw = filed?.raw ?? '';
      expect(await independentVerdict(Buffer.from(raw, 'latin1'), program.dkimKey)).toBe('pass');
      const mail = await PostalMime.parse(raw);
      const headers = (key: string) =>
        mail.headers.filter((h) => h.key === key).map(({ value }) => value);
      expect(headers('return-path')).toEqual([`<arrive+${ada?.id}@returns.example.org>`]);
      expect(mail.messageId).toBe(ada?.messageId);
      expect(headers('received').join()).toMatch(/with ESMTPS /);
      expect(headers('list-unsubscribe-post')).toEqual(['List-Unsubscribe=One-Click']);
      const [refuse, ...others] = headers('list-unsubscribe');
      expect(others).toEqual([]);
      // RFC 8058: what a mail program does with the two headers refuses, and nothing else is needed.
      const url = /^<https:\/\/care\.example\.org(\/[^>]+)>/.exec(refuse ?? '')?.[1] ?? '';
      const pressed = await program.app.server.inject({
        method: 'POST',
        url,
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
        payload: 'List-Unsubscribe=One-Click',
      });
      expect(pressed.statusCode).toBe(200);
      const wishes = await program.get(`/v1/owners/${ada?.ownerId}/preferences`);
      expect(wishes.body.refused).toEqual(['reminders']);
      expect(await letter(ada)).toMatchObject({ state: 'delivered', fault: null });
      expect((await letter(ada)).response).toMatch(/^250 2\.0\.0 Ok: queued as /);
      expect(await house.filed('arrive')).toEqual([]);
    });

    /** What the other server says, what Postfix makes of it, and what is to follow (RFC 3463). */
    const FATES = [
      ['nobody@post.example.net', null, '5.1.1', 'dead'],
      ['shut@neighbour.example.net', '550 5.2.1 closed', '5.2.1', 'dead'],
      ['plain@neighbour.example.net', '550 user unknown', '5.0.0', 'dead'],
      ['full@neighbour.example.net', '552 5.2.2 mailbox full', '5.2.2', 'soft'],
      ['odd@neighbour.example.net', '554 transaction failed', '5.0.0', 'soft'],
      ['ada@nowhere.example.com', null, '5.4.4', 'soft'],
      ['wary@neighbour.example.net', '550 5.7.1 not from you', '5.7.1', 'policy'],
    ] as const;

    it('report every letter that failed, and each is judged by its code', async () => {
      await open('fail');
      for (const [to, words] of FATES) {
        if (words !== null) neighbour.answers.set(to.split('@')[0] ?? '', words);
      }
      const reminders = await program.remind(FATES.map(([to]) => to));
      expect(reminders.size).toBe(FATES.length);
      for (const reminder of reminders.values()) {
        expect(await letter(reminder)).toMatchObject({ state: 'delivered' });
      }
      const reports = await house.arrived('fail', FATES.length);
      expect(codesIn(reports)).toEqual(
        FATES.map(([to, , status]) => `${to} failed ${status}`).toSorted(),
      );
      const count = FATES.length;
      expect(await program.look()).toEqual({ read: count, applied: count, left: 0, fault: null });

      const { items, alerts } = await standing();
      const judged = FATES.map(([to]) => {
        const { dead = null, cameBack = 0 } = items.find(({ address }) => address === to) ?? {};
        if (dead !== null) return 'dead';
        if (cameBack === 1) return 'soft';
        const { id } = reminders.get(to) ?? {};
        return alerts.some(({ letterId }) => letterId === id) ? 'policy' : 'none';
      });
      expect(judged).toEqual(FATES.map(([, , , verdict]) => verdict));
      expect([items.length, alerts.length]).toEqual([FATES.length - 1, 1]);
      // The shop sees at the letter, and at the owner, why.
      for (const [to] of FATES) {
        const { state, fault, settledAt } = await letter(reminders.get(to));
        expect({ to, state, settledAt }).toEqual({ to, state: 'failed', settledAt: NOW });
        expect(fault).toContain('came back');
      }
      const gone = items.find(({ address }) => address === 'nobody@post.example.net');
      const { fault } = await letter(reminders.get('nobody@post.example.net'));
      expect(gone?.dead?.why).toBe(fault);
      expect(fault).toContain('no such mailbox');
      expect(fault).toContain('Nothing more is written to it');

      // Read means read, in the mailbox itself; and nothing counts twice.
      expect((await house.filed('fail')).every(({ seen }) => seen)).toBe(true);
      expect(await program.look()).toEqual({ read: 0, applied: 0, left: 0, fault: null });
      expect(await standing()).toMatchObject({ items, alerts });
    });

    it('report a delay, which changes nothing, and an end of all patience, which does', async () => {
      await open('wait');
      neighbour.answers.set('slow', '451 4.7.1 come back later');
      const [gone, slow] = ['ada@away.example.net', 'slow@neighbour.example.net'];
      const reminders = await program.remind([gone, slow]);
      const before = [await letter(reminders.get(gone)), await letter(reminders.get(slow))];
      const delays = await house.arrived('wait', 2);
      expect(codesIn(delays)).toEqual([`${gone} delayed 4.4.1`, `${slow} delayed 4.7.1`]);
      expect(await program.look()).toEqual({ read: 2, applied: 0, left: 0, fault: null });
      expect([await letter(reminders.get(gone)), await letter(reminders.get(slow))]).toEqual(
        before,
      );
      expect(before).toMatchObject([{ state: 'delivered' }, { state: 'delivered' }]);
      expect(await standing()).toMatchObject({ items: [], alerts: [] });

      // The one that was only slow arrives in the end, signed as it was; nobody hears of that.
      neighbour.answers.clear();
      await house.tryAgain();
      await expect.poll(() => neighbour.taken.length, { timeout: 90_000 }).toBe(1);
      const arrived = neighbour.taken[0] ?? Buffer.alloc(0);
      expect(await independentVerdict(arrived, program.dkimKey)).toBe('pass');

      await house.giveUpAfter('1s');
      try {
        const all = await house.arrived('wait', 3);
        const unread = all.filter(({ seen }) => !seen);
        expect(codesIn(unread)).toEqual([`${gone} failed 4.4.1`]);
      } finally {
        await house.giveUpAfter('5d');
      }
      await house.makeFolder('wait', 'Read');
      const intoFolder = house.imapUrl('wait', { query: '?moveTo=Read' });
      expect(await program.look(intoFolder)).toEqual({ read: 1, applied: 1, left: 0, fault: null });
      expect(codesIn(await house.filed('wait', 'Read'))).toEqual([`${gone} failed 4.4.1`]);
      expect(await house.filed('wait')).toHaveLength(2);
      expect(await letter(reminders.get(gone))).toMatchObject({ state: 'failed' });
      expect(await letter(reminders.get(slow))).toEqual(before[1]);
      const { items } = await standing();
      expect(items).toMatchObject([{ address: gone, dead: null, cameBack: 1 }]);
    });

    it('report to the sender where the return path bears no token, and the letter is found', async () => {
      program = await openProgram({
        smtpUrl: house.smtpUrl,
        bounceAddress: null,
        bounceImapUrl: house.imapUrl('care'),
      });
      const reminder = await remindOne('nobody@post.example.net');
      const [report] = await house.arrived('care', 1);
      expect(report?.raw).toContain('\r\nTo: care@example.org\r\n');
      expect(await program.look()).toMatchObject({ read: 1, applied: 1 });
      expect(await letter(reminder)).toMatchObject({ state: 'failed' });
    });

    it('bring other mail as well, which is left alone', async () => {
      await open('other');
      const bo = await remindOne('bo@post.example.net');
      const before = await letter(bo);
      await post(
        { from: 'bo@post.example.net', to: `other+${bo?.id}@returns.example.org` },
        {
          subject: 'Out of office',
          inReplyTo: bo?.messageId,
          headers: { 'Auto-Submitted': 'auto-replied' },
          text: 'Back on Monday. 550 5.1.1 bo@post.example.net',
        },
      );
      await post(
        { from: 'ben@example.net', to: 'other@returns.example.org' },
        { subject: 'A question', text: 'When do you open on Saturdays?' },
      );
      await house.arrived('other', 2);
      expect(await program.look()).toEqual({ read: 2, applied: 0, left: 0, fault: null });
      expect(await house.filed('other')).toMatchObject([{ seen: true }, { seen: true }]);
      expect(await letter(bo)).toEqual(before);
      expect(await standing()).toMatchObject({ items: [], alerts: [] });
      expect((await program.get(`/v1/owners/${bo?.ownerId}/preferences`)).body.refused).toEqual([]);
    });

    it('let the mail check find no fault, and show the faults there are', async () => {
      await open('fault');
      const found = [];
      for await (const finding of checkMailSetup(program.settings, NOW, 'bo@post.example.net')) {
        found.push(finding);
      }
      expect(found.filter(({ level }) => level === 'fault')).toEqual([]);
      expect(found.map(({ words }) => words).join()).toContain('the trial letter was taken over');

      const wrong = await program.look(house.imapUrl('fault', { password: 'wrong' }));
      expect(wrong.fault).toBe('the mailbox refuses user and password');
      await post(
        { from: 'ben@example.net', to: 'fault@returns.example.org' },
        { subject: 'A question', text: 'Is it dry?' },
      );
      await house.arrived('fault', 1);
      const nowhere = await program.look(house.imapUrl('fault', { query: '?moveTo=Nowhere' }));
      expect(nowhere.fault).toBe('no message can be moved to the mailbox "Nowhere"');
    });

    it('are looked into by the clock', async () => {
      await open('clock');
      const nobody = 'nobody@post.example.net';
      const reminder = await remindOne(nobody);
      await house.arrived('clock', 1);
      program.app.startClock();
      await expect
        .poll(async () => (await letter(reminder)).state, { timeout: 90_000 })
        .toBe('failed');
      expect((await standing()).items).toMatchObject([
        { ownerId: reminder?.ownerId, address: nobody },
      ]);
    });

    /** Another program's mail, through the same Postfix. */
    async function post(
      { from, to }: { from: string; to: string },
      mail: { subject: string; text: string; inReplyTo?: string; headers?: Record<string, string> },
    ): Promise<void> {
      const transport = createTransport(`${house.smtpUrl}?ignoreTLS=true`);
      await transport.sendMail({ from, to, ...mail });
      transport.close();
    }
  },
);

/** Recipient, action and status of delivery reports, as they stand there; not by our parser. */
function codesIn(reports: readonly Filed[]): string[] {
  const field = (raw: string, name: string) =>
    new RegExp(`^${name}: *(?:rfc822; *)?(\\S+)`, 'm').exec(raw)?.[1] ?? '';
  return reports
    .map(({ raw }) =>
      ['Final-Recipient', 'Action', 'Status'].map((name) => field(raw, name)).join(' '),
    )
    .toSorted();
}
