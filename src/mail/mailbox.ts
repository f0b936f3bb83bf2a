import type { ImapFlow } from 'imapflow';
import type { ImapBox } from './imap-url.ts';
import { LARGEST_REPORT } from './report-parser.ts';

/** Limits of one look into the mailbox. */
export interface MailboxLimits {
  /** Messages read at most in one look. */
  readonly messages: number;
  /** Octets fetched of one message at most; a report says what matters near its beginning. */
  readonly octets: number;
  /** Milliseconds of silence on the line. */
  readonly silence: number;
  /** Milliseconds after which no further message is begun. */
  readonly begin: number;
  /** Milliseconds for the whole look. */
  readonly whole: number;
  /** So many messages in a row that could not be dealt with end the look: the fault is not theirs. */
  readonly failures: number;
}

export const MAILBOX_LIMITS: MailboxLimits = {
  // Far more than come in by right: a report behind a heap of unwanted mail is found in the same look.
  messages: 50_000,
  octets: LARGEST_REPORT,
  silence: 30_000,
  begin: 90_000,
  whole: 120_000,
  failures: 50,
};

/** What one look into the mailbox came to. Faults are values, in plain words. */
export type MailboxLook =
  | {
      readonly kind: 'looked';
      /** Messages taken care of. */
      readonly handled: number;
      /** Messages that could not be dealt with; they stay unseen for the next look. */
      readonly failed: number;
      /** Unseen messages beyond the limits. */
      readonly left: number;
    }
  | { readonly kind: 'fault'; readonly handled: number; readonly words: string };

/**
 * Reads the unseen messages of a mailbox, oldest first, and hands each, raw, to `handle`. A message
 * counts as dealt with once `handle` resolves; only then is it marked as seen and moved. When the
 * line breaks in between it is handed over again next time: `handle` must bear that. Once `signal` is
 * given the message in hand is the last.
 */
export async function readMailbox(
  box: ImapBox,
  handle: (raw: Buffer) => Promise<void>,
  limits: Partial<MailboxLimits> = {},
  signal: AbortSignal | null = null,
): Promise<MailboxLook> {
  const within = { ...MAILBOX_LIMITS, ...limits };
  // Loaded at the first look: most shops read no mailbox, and all of them want to start soon.
  const { ImapFlow: Client } = await import('imapflow');
  const client = new Client({
    host: box.host,
    port: box.port,
    secure: box.secure,
    auth: { ...box.auth },
    // As for sending: encryption is demanded of every host but this machine.
    ...(box.secure || box.loopback ? {} : { doSTARTTLS: true }),
    tls: { minVersion: 'TLSv1.2', rejectUnauthorized: !box.loopback },
    logger: false,
    disableAutoIdle: true,
    connectionTimeout: within.silence,
    greetingTimeout: within.silence,
    socketTimeout: within.silence,
  });
  let broken: unknown = null;
  client.on('error', (fault: unknown) => {
    broken ??= fault;
  });
  const count = { handled: 0, failed: 0, left: 0 };
  const timeIsUp = AbortSignal.timeout(within.begin);
  const over = signal === null ? timeIsUp : AbortSignal.any([signal, timeIsUp]);
  const look = async (): Promise<void> => {
    await client.connect();
    await readUnseen(client, box, handle, { ...within, over }, count);
    await client.logout();
  };
  let deadline: NodeJS.Timeout | undefined;
  const tooLong = new Promise<never>((_resolve, reject) => {
    deadline = setTimeout(() => reject(new Error('it took too long')), within.whole);
  });
  try {
    await Promise.race([look(), tooLong]);
    return { kind: 'looked', ...count };
  } catch (fault) {
    return { kind: 'fault', handled: count.handled, words: mailboxWords(broken ?? fault) };
  } finally {
    clearTimeout(deadline);
    client.close();
  }
}

async function readUnseen(
  client: ImapFlow,
  box: ImapBox,
  handle: (raw: Buffer) => Promise<void>,
  limits: MailboxLimits & { readonly over: AbortSignal },
  count: { handled: number; failed: number; left: number },
): Promise<void> {
  const lock = await client.getMailboxLock(box.mailbox);
  try {
    const found = await client.search({ seen: false, deleted: false }, { uid: true });
    const unseen = Array.isArray(found) ? found.toSorted((a, b) => a - b) : [];
    const turns = unseen.slice(0, limits.messages);
    count.left = unseen.length;
    let inARow = 0;
    for (const uid of turns) {
      if (limits.over.aborted || inARow >= limits.failures) break;
      count.left--;
      const range = String(uid);
      const source = { start: 0, maxLength: limits.octets };
      const message = await client.fetchOne(range, { source }, { uid: true });
      // Gone in the meantime: somebody else looks after this mailbox as well.
      if (!message || !message.source) continue;
      try {
        await handle(message.source);
      } catch {
        count.failed++;
        inARow++;
        continue;
      }
      inARow = 0;
      await client.messageFlagsAdd(range, ['\\Seen'], { uid: true });
      count.handled++;
      if (box.moveTo === undefined) continue;
      const moved = await client.messageMove(range, box.moveTo, { uid: true });
      if (!moved) throw new Error(`no message can be moved to the mailbox "${box.moveTo}"`);
    }
  } finally {
    lock.release();
  }
}

function mailboxWords(fault: unknown): string {
  const code = partOf(fault, 'code');
  const said = partOf(fault, 'responseText');
  if (partOf(fault, 'authenticationFailed') === 'true') {
    return 'the mailbox refuses user and password';
  }
  if (said !== '') return `the mail server said: ${said}`;
  const words = fault instanceof Error ? fault.message : 'unknown fault';
  return code === '' ? words : `${words} (${code})`;
}

function partOf(fault: unknown, name: string): string {
  const value: unknown = fault instanceof Error ? Reflect.get(fault, name) : undefined;
  return typeof value === 'string' || typeof value === 'boolean' ? String(value) : '';
}
