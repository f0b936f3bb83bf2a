import { createTransport } from 'nodemailer';
import { loadDkimKey } from './dkim.ts';
import type { DkimKey, DkimSettings } from './dkim.ts';
import { dmarcRecord, dnsRecords, spfRecord } from './dns-records.ts';
import type { DnsRecord } from './dns-records.ts';
import type { OutgoingLetter } from './outgoing.ts';
import { smtpSender, transportOptions } from './sender.ts';
import type { SmtpPatience } from './sender.ts';
import { connectionWords } from './smtp-words.ts';
import { readSmtpUrl } from './smtp-url.ts';
import type { SmtpServer } from './smtp-url.ts';

/** One thing that was looked at, in plain words. */
export interface MailFinding {
  readonly level: 'ok' | 'fault' | 'advice';
  readonly words: string;
}

/** The mail settings as the program holds them. */
export interface MailSettings {
  /** Absent: letters go to the tray. */
  readonly smtpUrl?: string;
  /** The address in From, bare. */
  readonly mailFrom?: string;
  readonly publicUrl?: string;
  readonly dkim?: DkimSettings;
  readonly patience?: Partial<SmtpPatience>;
  /** A letter to send for trial; none unless given. */
  readonly trial?: OutgoingLetter;
}

/**
 * Looks at the mail settings and tries them: the server's connection, encryption and login, the
 * signing key with a probe, and which DNS records to publish. Sends nothing but the trial letter.
 */
export async function* checkMail(settings: MailSettings): AsyncGenerator<MailFinding> {
  yield* checkAddresses(settings);
  const dkim = settings.dkim ? await loadDkimKey(settings.dkim) : null;
  if (dkim && 'fault' in dkim) yield fault(dkim.fault);
  const key = dkim && 'key' in dkim ? dkim.key : null;
  if (key) yield* checkKey(key, settings.mailFrom);
  if (!settings.dkim) {
    yield advice('letters are not signed here (no DKIM key); fine if your mail provider signs');
  }
  yield* checkServer(settings, key);
  for (const found of recordsFor(settings, key)) {
    const quoted = found.strings.map((part) => `"${part}"`).join(' ');
    yield advice(`DNS, ${found.purpose}: ${found.name} TXT ${quoted} (${found.words})`);
  }
}

const ok = (words: string): MailFinding => ({ level: 'ok', words });
const fault = (words: string): MailFinding => ({ level: 'fault', words });
const advice = (words: string): MailFinding => ({ level: 'advice', words });

function* checkAddresses({ mailFrom, publicUrl }: MailSettings): Generator<MailFinding> {
  if (mailFrom === undefined) yield fault('no sender address is set (MAIL_FROM)');
  else if (!/^[^\s@<>]+@[^\s@<>]+\.[^\s@<>]+$/.test(mailFrom)) {
    yield fault('the sender address (MAIL_FROM) is not an address of a public domain');
  }
  // RFC 8058 section 3.1 wants an HTTPS link for refusing letters with one click.
  if (publicUrl !== undefined && !publicUrl.startsWith('https://')) {
    yield advice(
      'PUBLIC_URL does not begin with https://, so mail programs will not offer to stop letters ' +
        'with one click',
    );
  }
}

function* checkKey(key: DkimKey, mailFrom: string | undefined): Generator<MailFinding> {
  yield ok(`a probe signed for ${key.domain} verifies (RSA, ${key.bits} bits)`);
  // RFC 8301 section 3.2: signers should use at least 2048 bits.
  if (key.bits < 2048) yield advice('the DKIM key is short; 2048 bits are usual');
  const from = domainOf(mailFrom);
  const aligned = from === key.domain || from?.endsWith(`.${key.domain}`) === true;
  if (from !== null && !aligned && !key.domain.endsWith(`.${from}`)) {
    yield fault(
      `letters come from ${from} but are signed for ${key.domain}: DMARC does not count that`,
    );
  }
}

function domainOf(address: string | undefined): string | null {
  return address?.includes('@') ? address.slice(address.lastIndexOf('@') + 1).toLowerCase() : null;
}

async function* checkServer(
  settings: MailSettings,
  key: DkimKey | null,
): AsyncGenerator<MailFinding> {
  if (settings.smtpUrl === undefined) {
    yield advice('no mail server is set (SMTP_URL): letters stay in the mail tray');
    return;
  }
  const read = readSmtpUrl(settings.smtpUrl);
  if ('fault' in read) {
    yield fault(`SMTP_URL ${read.fault}`);
    return;
  }
  const { server } = read;
  const where = `${server.host}:${server.port}`;
  const patience = settings.patience ? { patience: settings.patience } : {};
  const transport = createTransport(transportOptions(server, patience));
  try {
    await transport.verify();
    yield ok(`${where} answers${server.auth ? ' and takes the login' : ''}${encryption(server)}`);
  } catch (thrown) {
    yield fault(`${where}: ${connectionWords(thrown)}`);
    return;
  } finally {
    transport.close();
  }
  if (!server.secure && !server.requireTls && !server.loopback) {
    yield advice('encryption is not demanded (requireTls=false): letters and login may be read');
  }
  if (settings.trial) yield* sendTrial(settings.smtpUrl, settings.trial, key, patience);
}

function encryption(server: SmtpServer): string {
  if (server.secure) return ', encrypted from the first byte';
  return server.requireTls ? ', encrypted by STARTTLS' : '';
}

async function* sendTrial(
  url: string,
  letter: OutgoingLetter,
  key: DkimKey | null,
  patience: { patience?: Partial<SmtpPatience> },
): AsyncGenerator<MailFinding> {
  const sender = smtpSender({ url, ...(key ? { dkim: key } : {}), ...patience });
  const outcome = await sender.send(letter);
  await sender.close();
  if (outcome.kind === 'sent') yield ok(`the trial letter was taken over: ${outcome.response}`);
  else yield fault(`the trial letter was not taken over (${outcome.kind}): ${outcome.detail}`);
}

function recordsFor(settings: MailSettings, key: DkimKey | null): DnsRecord[] {
  const { mailFrom } = settings;
  const domain = domainOf(mailFrom);
  if (mailFrom === undefined || domain === null) return [];
  return key ? dnsRecords({ ...key, mailFrom }) : [spfRecord(domain), dmarcRecord(domain)];
}
