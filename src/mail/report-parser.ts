import PostalMime from 'postal-mime';
import type { Attachment, Email } from 'postal-mime';
import { parseStatus, statusText, verdictOfStatus } from './enhanced-status.ts';
import type { EnhancedStatus, Verdict } from './enhanced-status.ts';
import { addressIn, fieldOf, messageIdIn, readBlocks, typedValue } from './report-fields.ts';
import type { FieldBlock } from './report-fields.ts';
import { isBare, parseReply, verdictOfReply } from './server-reply.ts';
import { tokenOf } from './verp.ts';

/** What a report says about one recipient. */
export interface RecipientReport {
  /** The address that failed; null where a gateway names it in no usable form. */
  readonly address: string | null;
  /** The address that we wrote to, where a forwarding system tells it apart. */
  readonly originalAddress: string | null;
  /** `failed`, `delayed`, `delivered`, `relayed`, `expanded`, or whatever stood there. */
  readonly action: string;
  /** `5.1.1`: the code that decided, from the Status field or else from the diagnostic text. */
  readonly status: string | null;
  readonly diagnostic: string | null;
  readonly verdict: Verdict;
}

/** A message that came back. */
export type Report =
  | {
      readonly kind: 'delivery';
      readonly recipients: readonly RecipientReport[];
      /** Message-ID of the letter that came back, with its angle brackets. */
      readonly originalMessageId: string | null;
      readonly envelopeId: string | null;
      /** The return path that the report was sent to, where it bears a token. */
      readonly verpTo: string | null;
    }
  | {
      readonly kind: 'complaint';
      readonly address: string | null;
      readonly originalMessageId: string | null;
      readonly verpTo: string | null;
    }
  | { readonly kind: 'other'; readonly why: string };

/** A letter of ours has one recipient; a report may name more, but not without end. */
const MOST_RECIPIENTS = 200;

/**
 * In octets. Our letters are small: a report that returns one whole is still far below this. The
 * parser takes some 15 microseconds a line, so a hostile one costs at most about a second.
 */
export const LARGEST_REPORT = 256 * 1024;

/**
 * Reads a message from the mailbox for returned mail: delivery reports (RFC 3464), complaints
 * (RFC 5965), and everything else, which is `other` with the reason. Never rejects, whatever the
 * bytes. It concludes from the machine-readable parts alone, never from the text for people.
 */
export async function parseReport(raw: Uint8Array | string): Promise<Report> {
  const size = typeof raw === 'string' ? Buffer.byteLength(raw) : raw.byteLength;
  if (size > LARGEST_REPORT) return { kind: 'other', why: 'larger than any report should be' };
  let mail: Email;
  try {
    mail = await PostalMime.parse(raw, {
      forceRfc822Attachments: true,
      maxNestingDepth: 20,
      maxHeadersSize: 256 * 1024,
    });
  } catch {
    return { kind: 'other', why: 'not a readable message' };
  }
  const delivery = partOf(mail, /^message\/(global-)?delivery-status$/);
  if (delivery !== null) return readDelivery(mail, readBlocks(delivery));
  const feedback = partOf(mail, /^message\/feedback-report$/);
  if (feedback !== null) return readFeedback(mail, readBlocks(feedback));
  return { kind: 'other', why: isAutomatic(mail) ? 'an automatic reply' : 'not a report' };
}

function partOf(mail: Email, type: RegExp): string | null {
  const part = mail.attachments.find(({ mimeType }) => type.test(mimeType));
  return part ? textOf(part) : null;
}

function textOf({ content }: Attachment): string {
  return typeof content === 'string' ? content : new TextDecoder().decode(content);
}

/** RFC 3834 section 5: any keyword but "no", parameters aside, is a machine speaking. */
function isAutomatic(mail: Email): boolean {
  const value = headerOf(mail, 'auto-submitted');
  return value !== null && !/^\s*no\s*(?:$|[;(])/i.test(value);
}

function headerOf(mail: Email, name: string): string | null {
  return mail.headers.find(({ key }) => key === name)?.value ?? null;
}

function readDelivery(mail: Email, blocks: readonly FieldBlock[]): Report {
  const recipients = blocks.filter(isRecipient).slice(0, MOST_RECIPIENTS).map(readRecipient);
  if (recipients.length === 0) return { kind: 'other', why: 'a report that names no recipient' };
  const ofMessage = blocks.find((block) => !isRecipient(block)) ?? blocks[0];
  return {
    kind: 'delivery',
    recipients,
    originalMessageId: returnedId(mail),
    envelopeId: fieldOf(ofMessage, 'original-envelope-id'),
    verpTo: returnPathOf(mail),
  };
}

function isRecipient(block: FieldBlock): boolean {
  return ['final-recipient', 'original-recipient', 'action'].some((name) => block.has(name));
}

function readRecipient(block: FieldBlock): RecipientReport {
  const action = (fieldOf(block, 'action') ?? '').split(/[\s(;]/)[0]?.toLowerCase() ?? '';
  const diagnostic = fieldOf(block, 'diagnostic-code');
  const stated = parseStatus(fieldOf(block, 'status') ?? '');
  const status = betterStatus(stated, diagnostic);
  return {
    address: addressIn(fieldOf(block, 'final-recipient')),
    originalAddress: addressIn(fieldOf(block, 'original-recipient')),
    action,
    status: status && statusText(status),
    diagnostic,
    // RFC 3464 section 2.3.3: the action says what happened; a delay has changed nothing yet.
    verdict: action === 'failed' ? verdictOfFailure(status, diagnostic) : 'none',
  };
}

/**
 * The code worth deciding by. Some mail servers state 5.0.0 for every failure and leave the real
 * code in the reply they quote. What was reported as passing stays passing.
 */
function betterStatus(stated: EnhancedStatus | null, diagnostic: string | null) {
  if (stated && !isBare(stated)) return stated;
  const quoted = quotedReply(diagnostic)?.enhanced ?? null;
  if (!quoted || (stated?.class === 4 && quoted.class !== 4)) return stated;
  return quoted;
}

function quotedReply(diagnostic: string | null) {
  if (diagnostic === null) return null;
  const { type, value } = typedValue(diagnostic);
  return type === 'smtp' || type === 'lmtp' || type === '' ? parseReply(value) : null;
}

function verdictOfFailure(status: EnhancedStatus | null, diagnostic: string | null): Verdict {
  if (status && (status.class === 4 || !isBare(status))) return verdictOfStatus(status);
  const reply = quotedReply(diagnostic);
  return reply ? verdictOfReply(reply) : 'soft';
}

/** Kinds of feedback (RFC 5965 section 7.3, RFC 6591) that are not a wish to get no more mail. */
const NO_COMPLAINT = new Set(['not-spam', 'auth-failure']);

function readFeedback(mail: Email, blocks: readonly FieldBlock[]): Report {
  const [block] = blocks;
  const type = fieldOf(block, 'feedback-type')?.toLowerCase() ?? '';
  if (type === '' || NO_COMPLAINT.has(type)) {
    return { kind: 'other', why: `feedback that is no complaint (${type || 'unnamed'})` };
  }
  const written = block?.get('original-rcpt-to') ?? [];
  // Several recipients and no word who complained: naming one would be a guess.
  const only = written.length === 1 ? (written[0] ?? null) : null;
  return {
    kind: 'complaint',
    address: addressIn(fieldOf(block, 'removal-recipient')) ?? addressIn(only),
    originalMessageId: returnedId(mail),
    verpTo: returnPathOf(mail),
  };
}

/** The letter's own identifier, from the returned message or its headers; else from the thread. */
function returnedId(mail: Email): string | null {
  const returned = partOf(mail, /^(message\/(rfc822|global)(-headers)?|text\/rfc822(-headers)?)$/);
  const own = returned === null ? null : fieldOf(readBlocks(returned)[0], 'message-id');
  return messageIdIn(own) ?? messageIdIn(mail.inReplyTo);
}

/** Where the last mail servers say that the report was delivered to, before what its To claims. */
function returnPathOf(mail: Email): string | null {
  for (const name of ['delivered-to', 'x-original-to', 'envelope-to', 'to']) {
    for (const { value } of mail.headers.filter(({ key }) => key === name)) {
      const bearing = value.split(/[\s<>,;"]/).find((word) => tokenOf(word) !== null);
      if (bearing !== undefined) return bearing;
    }
  }
  return null;
}
