import { generateKeyPairSync } from 'node:crypto';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import type { Settings } from '../../src/config.ts';
import { readSettings } from '../../src/config.ts';
import type { DkimKey } from '../../src/mail/dkim.ts';
import { loadDkimKey } from '../../src/mail/dkim.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import type { MailboxRecord } from '../../src/usecases/delivery/read-bounce-mailbox.ts';
import { readBounceMailbox } from '../../src/usecases/delivery/read-bounce-mailbox.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { dropCareNotes } from '../setup/stored-letters.ts';

export const NOW = '2026-06-12T09:00:00.000Z';

export interface Reminder {
  readonly id: string;
  readonly messageId: string;
  readonly ownerId: string;
  readonly to: string;
}

/** The whole program, wired from its settings as at a start, with one thing set: the clock. */
export interface Program extends Pick<Workshop, 'get' | 'post'> {
  readonly app: App;
  readonly settings: Settings;
  readonly dkimKey: DkimKey;
  /** Has a reminder written to each address and lets all of them leave. */
  remind(addresses: readonly string[]): Promise<Map<string, Reminder>>;
  /** Looks once for returned letters, as the clock does. */
  look(imapUrl?: string): Promise<MailboxRecord>;
  close(): Promise<void>;
}

export async function openProgram(mail: {
  readonly smtpUrl: string;
  /** Null where letters leave under the address they are from, without a token. */
  readonly bounceAddress: string | null;
  readonly bounceImapUrl: string;
}): Promise<Program> {
  const folder = await mkdtemp(join(tmpdir(), 'foldkeep-program-'));
  const dkim = { domain: 'example.org', selector: 'care', keyFile: join(folder, 'dkim.pem') };
  const { privateKey } = generateKeyPairSync('rsa', { modulusLength: 2048 });
  await writeFile(dkim.keyFile, privateKey.export({ type: 'pkcs8', format: 'pem' }));
  const loaded = await loadDkimKey(dkim);
  if ('fault' in loaded) throw new Error(loaded.fault);
  const settings = readSettings({
    DATABASE_URL: `file:${join(folder, 'records.db')}`,
    PUBLIC_URL: 'https://care.example.org',
    MAIL_FROM: 'Top care <care@example.org>',
    SMTP_URL: mail.smtpUrl,
    BOUNCE_ADDRESS: mail.bounceAddress ?? undefined,
    BOUNCE_IMAP_URL: mail.bounceImapUrl,
    DKIM_DOMAIN: dkim.domain,
    DKIM_SELECTOR: dkim.selector,
    DKIM_KEY_FILE: dkim.keyFile,
    ROUND_CRON: 'off',
    DELIVERY_CRON: 'off',
    LOG_LEVEL: 'silent',
  });
  const app = await buildApp(settings, { now: () => NOW });
  const { key } = await makeKey(app.context, { name: 'Elmyard Soft Tops' }, 'full');
  const call = async (method: 'GET' | 'POST', url: string, payload?: object) => {
    const headers = { authorization: `Bearer ${key}` };
    const answer = await app.server.inject({ method, url, headers, ...(payload && { payload }) });
    return { status: answer.statusCode, body: answer.json(), headers: answer.headers };
  };
  const get: Workshop['get'] = (path) => call('GET', path);
  const post: Workshop['post'] = (path, body) => call('POST', path, body ?? {});
  return {
    app,
    settings,
    dkimKey: loaded.key,
    get,
    post,
    async remind(addresses) {
      for (const email of addresses) {
        await fitted({ post }, { owner: { email }, top: { fittedOn: '2025-05-10' } });
      }
      const round = await post('/v1/round', {});
      if (round.status !== 200) throw new Error(`no round: ${JSON.stringify(round.body)}`);
      // Advice comes and goes with the season; these tests count letters.
      await app.store.writeSql(dropCareNotes);
      const { body } = await get('/v1/letters?state=planned&limit=100');
      const letters = body.items as { id: string; to: { address: string } }[];
      await app.deliver();
      const reminders = await Promise.all(
        letters.map(async ({ id }) => {
          const letter = (await get(`/v1/letters/${id}`)).body;
          const { messageId, ownerId } = letter;
          return [letter.to.address, { id, messageId, ownerId, to: letter.to.address }] as const;
        }),
      );
      return new Map(reminders);
    },
    look: (imapUrl = mail.bounceImapUrl) => readBounceMailbox(app.context, imapUrl),
    async close() {
      await app.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}
