import { createHash } from 'node:crypto';
import { createTransport } from 'nodemailer';
import type { SMTPPoolOptions } from 'nodemailer';
import { signedStream, signedWith } from './dkim-sign.ts';
import type { DkimSigner } from './dkim-sign.ts';
import { bytesOf, endingWhen, streamOf } from './message-bytes.ts';
import { toMailOptions } from './outgoing.ts';
import type { LetterMail, OutgoingLetter } from './outgoing.ts';
import { unbuildable } from './send-outcome.ts';
import type { BeforeEnd, Sender, SendOutcome } from './send-outcome.ts';
import { outcomeOfFault } from './smtp-outcome.ts';
import { readSmtpUrl } from './smtp-url.ts';
import type { SmtpServer } from './smtp-url.ts';

export type { BeforeEnd, Sender, SendOutcome } from './send-outcome.ts';

/** Patience with the mail server, in milliseconds. */
export interface SmtpPatience {
  readonly connect: number;
  readonly greeting: number;
  readonly dns: number;
  /** Silence on an open connection. */
  readonly silence: number;
  /** How long `close` waits for letters in flight before it breaks them off. */
  readonly close: number;
}

/**
 * Ten minutes of silence because RFC 5321 section 4.5.3.2.6 gives the answer to the final dot that
 * long: who hangs up sooner makes duplicates. The others: common practice, no source.
 */
export const SMTP_PATIENCE: SmtpPatience = {
  connect: 20_000,
  greeting: 20_000,
  dns: 10_000,
  silence: 600_000,
  close: 30_000,
};

export interface SmtpSenderOptions {
  /** See `readSmtpUrl`. */
  readonly url: string;
  readonly dkim?: DkimSigner;
  /** Name to greet the server with; else the machine's own. */
  readonly ehloName?: string;
  /** Most connections at once; 15 unless told, of which the delivery keeps as many busy as it wants. */
  readonly maxConnections?: number;
  readonly patience?: Partial<SmtpPatience>;
}

/** nodemailer's settings for a server: what `smtpSender` sends with and `checkMail` tries. */
export function transportOptions(
  server: SmtpServer,
  options: Omit<SmtpSenderOptions, 'url'> = {},
): SMTPPoolOptions & { pool: true } {
  const patience = { ...SMTP_PATIENCE, ...options.patience };
  return {
    pool: true,
    host: server.host,
    port: server.port,
    secure: server.secure,
    requireTLS: server.requireTls,
    tls: {
      minVersion: 'TLSv1.2',
      // Nobody stands between this machine and itself; its server rarely has a public certificate.
      rejectUnauthorized: !server.loopback || server.requireTls,
    },
    // Else a server that offers no login would be used without one, and nobody would know.
    ...(server.auth ? { auth: { ...server.auth }, forceAuth: true } : {}),
    ...(options.ehloName === undefined ? {} : { name: options.ehloName }),
    maxConnections: options.maxConnections ?? 15,
    maxMessages: 100,
    // The table of letters decides about further attempts, not the pool.
    maxRequeues: 0,
    idleTimeout: 240_000,
    connectionTimeout: patience.connect,
    greetingTimeout: patience.greeting,
    dnsTimeout: patience.dns,
    socketTimeout: patience.silence,
    disableFileAccess: true,
    disableUrlAccess: true,
    maxRecipients: 1,
  };
}

/**
 * A sender through a mail server, over a pool of connections. One letter, one recipient, one
 * attempt: it never tries again by itself. Throws at once when the URL is faulty.
 *
 * Each letter's own body stream asks before it ends: nodemailer writes the final dot when it ends, on
 * this letter's connection, and no server can have accepted a letter that had none. So what is said
 * before the answer is yes is certain, however many connections run side by side.
 */
export function smtpSender(options: SmtpSenderOptions): Sender {
  const read = readSmtpUrl(options.url);
  if ('fault' in read) throw new RangeError(`the mail server's URL ${read.fault}`);
  const transport = createTransport(transportOptions(read.server, options));
  const endings = new WeakMap<object, () => Promise<void>>();
  const flying = new Set<Promise<SendOutcome>>();
  let closed = false;

  transport.use('stream', (mail, done) => {
    const key = mail.data.envelope;
    const build = mail.message.createReadStream.bind(mail.message);
    mail.message.createReadStream = (how) => {
      const mayEnd = typeof key === 'object' ? endings.get(key) : undefined;
      if (mayEnd === undefined) throw new Error('a letter without its own ending');
      const { dkim } = options;
      const bytes = bytesOf(mail.message);
      if (bytes !== null) {
        return streamOf(dkim === undefined ? bytes : signedWith(dkim, bytes), mayEnd);
      }
      const whole = build(how);
      return endingWhen(dkim === undefined ? whole : signedStream(dkim, whole), mayEnd);
    };
    done();
  });

  async function attempt(letter: OutgoingLetter, beforeEnd: BeforeEnd): Promise<SendOutcome> {
    let mail: LetterMail;
    let mayHaveGone = false;
    try {
      mail = toMailOptions(letter);
    } catch (fault) {
      return unbuildable(fault);
    }
    endings.set(mail.envelope, async () => {
      if (!(await beforeEnd())) throw new Error('broken off before its end');
      mayHaveGone = true;
    });
    try {
      const info = await transport.sendMail({
        ...mail,
        baseBoundary: boundaryOf(letter),
        dsn: deliveryReports(letter),
      });
      const own = info.serverMessageId;
      return { kind: 'sent', response: info.response, ...(own ? { serverMessageId: own } : {}) };
    } catch (fault) {
      return outcomeOfFault(fault, mayHaveGone, letter.to.address);
    }
  }

  return {
    send(letter, beforeEnd = always) {
      if (closed) return Promise.resolve({ kind: 'retry', detail: 'the sender is closing' });
      const attempted = attempt(letter, beforeEnd);
      flying.add(attempted);
      void attempted.finally(() => flying.delete(attempted));
      return attempted;
    },
    async close() {
      closed = true;
      await settled(flying, options.patience?.close ?? SMTP_PATIENCE.close);
      transport.close({ force: true });
      await Promise.all(flying);
    },
  };
}

const always: BeforeEnd = () => Promise.resolve(true);

/** The same on every attempt, so that a letter sent once more is the same letter byte for byte. */
function boundaryOf({ messageId }: OutgoingLetter): string {
  return createHash('sha256').update(messageId).digest('hex').slice(0, 32);
}

/** Asks for delivery reports that name the letter (RFC 3461); servers without them ignore it. */
function deliveryReports(letter: OutgoingLetter) {
  const id = letter.messageId.replace(/^<|>$/g, '');
  // RFC 3461 section 4.4: an envelope identifier has at most 100 characters.
  return {
    ...(id.length <= 100 ? { id } : {}),
    return: 'headers',
    notify: ['failure', 'delay'],
    recipient: letter.to.address,
  };
}

async function settled(flying: ReadonlySet<Promise<SendOutcome>>, wait: number): Promise<void> {
  if (flying.size === 0) return;
  let timer: NodeJS.Timeout | undefined;
  const patience = new Promise<void>((resolve) => {
    timer = setTimeout(resolve, wait);
  });
  await Promise.race([Promise.all(flying), patience]);
  clearTimeout(timer);
}
