import { statusText } from './enhanced-status.ts';
import type { Verdict } from './enhanced-status.ts';
import type { SendOutcome } from './send-outcome.ts';
import { isBare, parseReply, verdictOfReply } from './server-reply.ts';
import type { ServerReply } from './server-reply.ts';

/** The fields of a nodemailer error that matter here. */
export interface SmtpFault {
  readonly message: string;
  /** nodemailer's own code: `EENVELOPE`, `ETIMEDOUT`, … */
  readonly code: string;
  /** The system's code underneath, where there was one. */
  readonly originalCode: string;
  /** The SMTP phase: `CONN`, `STARTTLS`, `AUTH PLAIN`, `MAIL FROM`, `RCPT TO`, `DATA`, `API`. */
  readonly command: string;
  /** The server's answer, or empty where it gave none. */
  readonly response: string;
}

/** Reads whatever was thrown. */
export function faultOf(thrown: unknown): SmtpFault {
  const part = (name: string): string => {
    const value: unknown = thrown instanceof Error ? Reflect.get(thrown, name) : undefined;
    return typeof value === 'string' ? value : '';
  };
  return {
    message: thrown instanceof Error ? thrown.message : String(thrown),
    code: part('code'),
    originalCode: part('originalCode'),
    command: part('command'),
    response: part('response'),
  };
}

/**
 * What an attempt that failed came to. `ended`: whether the sign that ends the letter may have gone
 * out. Without an answer from the server that alone tells "certainly not accepted" from "unknown": the
 * same error comes from a line that broke before and after. `recipient`: the address it was for.
 */
export function outcomeOfFault(thrown: unknown, ended: boolean, recipient: string): SendOutcome {
  const fault = faultOf(thrown);
  const reply = parseReply(fault.response);
  if (reply) return outcomeOfReply(fault, reply, recipient);
  const where = fault.command === '' ? '' : ` at ${fault.command}`;
  const detail = shortened(`${fault.code || 'fault'}${where}: ${fault.message}`);
  if (ended) return { kind: 'unknown', detail };
  if (isOurSetting(fault)) return { kind: 'configuration', detail };
  if (fault.code === 'EENVELOPE' && fault.command === 'API') return outcomeOfForm(fault, detail);
  return { kind: 'retry', detail };
}

function outcomeOfReply(fault: SmtpFault, reply: ServerReply, recipient: string): SendOutcome {
  const enhanced = reply.enhanced ? { enhanced: statusText(reply.enhanced) } : {};
  const detail = shortened(fault.response);
  // RFC 5321 section 4.2.1: 4yz may be tried again. A code of class 4 beside a 5yz says the same.
  const passing = reply.code < 500 || reply.enhanced?.class === 4;
  const { code } = reply;
  if (passing) {
    // 421 closes the whole line (RFC 5321 section 3.8), whomever the letter was for.
    const verdict = isAboutRecipient(fault) && code !== 421 ? 'soft' : 'none';
    return { kind: 'retry', code, ...enhanced, detail, verdict };
  }
  if (isAboutSender(fault, reply)) return { kind: 'configuration', detail };
  if (isAboutRecipient(fault) && isBeyond(reply, recipient)) {
    return { kind: 'refused', code, enhanced: '5.6.7', detail, verdict: 'policy' };
  }
  return { kind: 'refused', code, ...enhanced, detail, verdict: verdictOf(fault, reply) };
}

// oxlint-disable-next-line no-control-regex -- ASCII begins with them
const ASCII = /^[\u0000-\u007f]*$/;

/**
 * Whether a server that cannot read letters beyond ASCII, for want of SMTPUTF8 (RFC 6531 section 3.2, from memory),
 * calls such an address badly written: its own limit, nothing that the address has done. The codes of
 * bad syntax are those of RFC 5321 section 4.2.2 and RFC 3463 section 3.2.
 */
function isBeyond(reply: ServerReply, recipient: string): boolean {
  if (ASCII.test(recipient)) return false;
  const { enhanced, code } = reply;
  if (enhanced && !isBare(enhanced)) return enhanced.subject === 1 && enhanced.detail === 3;
  return [500, 501, 553, 555].includes(code) && verdictOfReply(reply) !== 'dead';
}

/** Only what was said of this recipient or this letter counts; else the size alone was refused. */
function verdictOf(fault: SmtpFault, reply: ServerReply): Verdict {
  return isAboutRecipient(fault) ? verdictOfReply(reply) : 'policy';
}

/** Phases after the sender was taken: what is refused there is this recipient or this letter. */
function isAboutRecipient(fault: SmtpFault): boolean {
  return fault.command === 'RCPT TO' || fault.command === 'DATA';
}

const NO_RELAY =
  /\brelay(?:ing)?\b.{0,40}\b(?:denied|not permitted|not allowed|prohibited)\b|\b(?:unable to|not|cannot) relay\b/i;

/**
 * Whether a refusal blames the account or the server settings. Such a letter is not at fault and
 * must not be burnt: greeting, TLS, login and sender refused, a login that was wanted and not
 * given (530, 534, 535, 538 of RFC 4954), or a server that will not relay for us. The words for
 * the last are common practice, no source.
 */
function isAboutSender(fault: SmtpFault, reply: ServerReply): boolean {
  if ([530, 534, 535, 538].includes(reply.code)) return true;
  if (NO_RELAY.test(reply.text)) {
    return true;
  }
  if (isAboutRecipient(fault)) return false;
  // RFC 1870 section 6.1: too large is already said at MAIL FROM, and is about the letter alone.
  return !(fault.command === 'MAIL FROM' && isTooLarge(reply));
}

function isTooLarge(reply: ServerReply): boolean {
  const { enhanced, code } = reply;
  return enhanced ? enhanced.subject === 3 && enhanced.detail === 4 : code === 552;
}

const CERTIFICATE = /CERT|SSL|TLS|UNABLE_TO|EPROTO\b/;
const BROKEN_LINE = /closed unexpectedly|ECONNRESET|EPIPE|time(?:d ?)?out/i;

/** Faults without an answer that no waiting heals: login, certificate, encryption. */
function isOurSetting(fault: SmtpFault): boolean {
  if (fault.code === 'ETLS') return !BROKEN_LINE.test(fault.message);
  if (fault.code === 'ESOCKET') return CERTIFICATE.test(fault.originalCode);
  return ['EAUTH', 'ENOAUTH', 'ECONFIG', 'EREQUIRETLS'].includes(fault.code);
}

/** An address that nodemailer itself would not put on the wire: 5.1.3, bad address syntax. */
function outcomeOfForm(fault: SmtpFault, detail: string): SendOutcome {
  if (/sender/i.test(fault.message)) return { kind: 'configuration', detail };
  return { kind: 'refused', code: 553, enhanced: '5.1.3', detail, verdict: 'dead' };
}

function shortened(text: string): string {
  const line = text.replace(/\s+/g, ' ').trim();
  return line.length > 500 ? `${line.slice(0, 499)}…` : line;
}
