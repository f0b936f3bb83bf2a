import { fork } from 'node:child_process';
import { generateKeyPairSync } from 'node:crypto';
import { once } from 'node:events';
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { createTransport } from 'nodemailer';
import { toMailOptions } from '../src/mail/outgoing.ts';
import type { OutgoingLetter } from '../src/mail/outgoing.ts';
import type { DkimSigner } from '../src/mail/dkim-sign.ts';
import { smtpSender, transportOptions } from '../src/mail/sender.ts';
import type { SmtpSenderOptions } from '../src/mail/sender.ts';
import { readSmtpUrl } from '../src/mail/smtp-url.ts';
import { claimLetters } from '../src/store/letters/delivery-rows.ts';
import type { WholeLetter } from '../src/store/letters/letter-rows.ts';
import { openStore } from '../src/store/database/open-store.ts';
import type { Store } from '../src/store/database/store.ts';
import type { Context } from '../src/usecases/context/context.ts';
import { deliverLetters } from '../src/usecases/delivery/deliver-letters.ts';
import { outgoingOf } from '../src/usecases/delivery/delivery-letter.ts';
import { planRound } from '../src/usecases/round/plan-round.ts';
import type { Measured } from './measure.ts';
import { makeHerd, ROUND_AT } from './round-herd.ts';

const MAIL_FROM = { name: 'Foldkeep', address: 'care@example.org' };
const RUNS = 7;
const CLAIMS = 35;

/**
 * Delivery, unsigned and signed with DKIM, against a bare nodemailer pool of the same size that sends and
 * signs the same letters into the same mail server (in a process of its own): few letters, of which the beginning
 * takes a good part, while connections are opened, and unsigned four times as many, which tell what one
 * takes. And the claim of letters from a queue of 100,000 against one from a queue of 1,000.
 */
export async function run(letters = 1_000): Promise<Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-bench-'));
  const sink = fork(fileURLToPath(new URL('./mail-sink.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx'],
  });
  try {
    const [url] = (await once(sink, 'message')) as [string];
    // Each due car owes one letter, its reminder and a care note together.
    const [herd, many] = [join(folder, 'herd.db'), join(folder, 'many.db')];
    await makeHerd(herd, letters, letters / 2);
    await makeHerd(many, letters * 4, letters * 2);
    await planned(herd);
    await planned(many);
    return [
      { name: 'delivery-vs-bare-pool', ratio: await ratioOf(herd, { url }), goal: '>= 0.95' },
      {
        name: 'delivery-signed-vs-bare-pool',
        ratio: await ratioOf(herd, { url, dkim: newSigner() }),
        goal: '>= 0.95',
      },
      {
        name: `delivery-of-${letters * 2}-vs-bare-pool`,
        ratio: await ratioOf(many, { url }),
        goal: '>= 0.95',
      },
      await claimRatio(folder, herd),
    ];
  } finally {
    sink.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Our best rate of several runs over that of the bare pool, turn by turn. */
async function ratioOf(herd: string, options: SmtpSenderOptions): Promise<number> {
  let ours = 0;
  let bare = 0;
  for (let turn = 0; turn < RUNS; turn++) {
    bare = Math.max(bare, await bareRate(herd, options));
    ours = Math.max(ours, await ownRate(herd, options));
  }
  return ours / bare;
}

function newSigner(): DkimSigner {
  const { privateKey } = generateKeyPairSync('rsa', {
    modulusLength: 2048,
    publicKeyEncoding: { type: 'spki', format: 'pem' },
    privateKeyEncoding: { type: 'pkcs8', format: 'pem' },
  });
  return { domain: 'example.org', selector: 'bench', privateKey };
}

function contextOf(store: Store): Context {
  return {
    store,
    now: () => ROUND_AT,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
}

async function planned(file: string): Promise<void> {
  const store = await openStore(`file:${file}`);
  await planRound(contextOf(store));
  await store.close();
}

/** Letters a second through the whole delivery. */
async function ownRate(herd: string, options: SmtpSenderOptions): Promise<number> {
  const file = `${herd}-run`;
  copyFileSync(herd, file);
  const store = await openStore(`file:${file}`);
  const sender = smtpSender(options);
  const begun = performance.now();
  const { delivered } = await deliverLetters(contextOf(store), sender, { mailFrom: MAIL_FROM });
  const rate = (delivered / (performance.now() - begun)) * 1_000;
  await sender.close();
  await store.close();
  return rate;
}

/** Letters a second when the same letters, built beforehand, are handed to nodemailer's pool. */
async function bareRate(herd: string, { url, dkim }: SmtpSenderOptions): Promise<number> {
  const letters = await outgoingIn(herd);
  const read = readSmtpUrl(url);
  if ('fault' in read) throw new Error(read.fault);
  const pool = createTransport({
    ...transportOptions(read.server),
    ...(dkim === undefined
      ? {}
      : {
          dkim: {
            domainName: dkim.domain,
            keySelector: dkim.selector,
            privateKey: dkim.privateKey,
          },
        }),
  });
  const queue = letters.map(toMailOptions);
  const begun = performance.now();
  const lane = async (): Promise<void> => {
    for (let mail = queue.pop(); mail !== undefined; mail = queue.pop()) await pool.sendMail(mail);
  };
  await Promise.all(Array.from({ length: 5 }, lane));
  const rate = (letters.length / (performance.now() - begun)) * 1_000;
  pool.close();
  return rate;
}

async function outgoingIn(herd: string): Promise<OutgoingLetter[]> {
  const store = await openStore(`file:${herd}`);
  const rows = await store.sql.all<WholeLetter>(
    'SELECT l.*, b."text", b."html", b."calendar" FROM "letter" l JOIN "letter_body" b ON b."letterId" = l."id"',
  );
  await store.close();
  const house = { organisationName: 'Bench Shop', organisationEmail: null };
  return rows.map((row) =>
    outgoingOf(row, house, { mailFrom: MAIL_FROM, mailDomain: 'example.org' }),
  );
}

/** The time of a claim of 25 from a queue of 100,000 due letters, over one of 1,000, turn by turn. */
async function claimRatio(folder: string, herd: string): Promise<Measured> {
  const queues: { store: Store; shortest: number }[] = [];
  for (const queued of [1_000, 100_000]) {
    const file = join(folder, `queue-${queued}.db`);
    copyFileSync(herd, file);
    fillQueue(file, queued);
    queues.push({ store: await openStore(`file:${file}`), shortest: Infinity });
  }
  for (let turn = 0; turn < CLAIMS; turn++) {
    for (const queue of queues) {
      const begun = performance.now();
      const claimed = await queue.store.writeSql((sql) =>
        claimLetters(sql, 'planned', {
          at: ROUND_AT,
          leaseUntil: '2026-06-12T09:15:00.000Z',
          token: `claim-${turn}`,
          limit: 25,
          organisationId: null,
          holder: null,
        }),
      );
      if (claimed.length !== 25) throw new Error(`claimed ${claimed.length}`);
      queue.shortest = Math.min(queue.shortest, performance.now() - begun);
    }
  }
  for (const { store } of queues) await store.close();
  const [small = 1, large = Infinity] = queues.map(({ shortest }) => shortest);
  return { name: 'claim-from-100k-vs-1k-queued', ratio: large / small, goal: '<= 1.5' };
}

function fillQueue(file: string, letters: number): void {
  const db = new Database(file);
  db.pragma('synchronous = OFF');
  const copied =
    '"organisationId", "ownerId", "kind", "state", "language", "toName", "toAddress", "addressHash", "topic", "subject", "messageDate", "plannedAt", "notBefore", "nextTryAt"';
  db.exec(
    `CREATE TEMP TABLE "first" AS SELECT * FROM "letter" l JOIN "letter_body" b ON b."letterId" = l."id" LIMIT 1; DELETE FROM "letter_occasion"; DELETE FROM "letter_body"; DELETE FROM "letter"`,
  );
  const insert = db.prepare(
    `INSERT INTO "letter" ("id", "messageId", ${copied}) SELECT ?, ?, ${copied} FROM "first"`,
  );
  const says = db.prepare(
    'INSERT INTO "letter_body" ("letterId", "organisationId", "text", "html", "calendar") SELECT ?, "organisationId", "text", "html", "calendar" FROM "first"',
  );
  db.transaction(() => {
    for (let i = 0; i < letters; i++) {
      insert.run(`q${i}`, `<q${i}@example.org>`);
      says.run(`q${i}`);
    }
  })();
  db.exec('DROP TABLE "first"');
  db.pragma('wal_checkpoint(TRUNCATE)');
  db.close();
}
