/** An enhanced mail system status code: class, subject and detail (RFC 3463 section 2). */
export interface EnhancedStatus {
  readonly class: 2 | 4 | 5;
  readonly subject: number;
  readonly detail: number;
}

/**
 * What a delivery that failed says about the address.
 * - `dead`: gone or never was; do not write again.
 * - `soft`: counts against the address, only repetition decides.
 * - `policy`: the receiver objects to the sender or the letter; alert the shop, blame no address.
 * - `none`: nothing to conclude.
 */
export type Verdict = 'dead' | 'soft' | 'policy' | 'none';

/**
 * Subject and detail codes of class 5 that condemn the address itself. RFC 3463 sections 3.2 and
 * 3.3 for the first five; 1.10 (recipient address has null MX, RFC 7505 section 4.2) from memory.
 */
const DEAD: ReadonlySet<string> = new Set(['1.1', '1.2', '1.3', '1.6', '1.10', '2.1']);

/**
 * Codes about the address of the sender, whatever their class (RFC 3463 section 3.2: X.1.7 bad sender's
 * mailbox address syntax, X.1.8 bad sender's system address). An owner's address is not to blame for ours.
 */
const OF_SENDER: ReadonlySet<string> = new Set(['1.7', '1.8']);

/** Subjects of class 5 about the letter's content (RFC 3463 section 3.7) and about rules (3.8). */
const OBJECTING: ReadonlySet<number> = new Set([6, 7]);

/** Subjects of RFC 3463 section 2, in our words, for people who ask why no mail arrives. */
const SUBJECTS: Readonly<Record<number, string>> = {
  0: 'no reason was given',
  1: 'something is wrong with the address',
  2: 'something is wrong with the mailbox',
  3: 'the receiving mail system could not take it',
  4: 'the way to the receiving mail system failed',
  5: 'the two mail servers did not understand each other',
  6: 'the receiving mail system cannot handle the content',
  7: 'the receiving mail system has a rule against it',
};

/** Details of RFC 3463 section 3 that lead to different deeds, in our words. */
const DETAILS: Readonly<Record<string, string>> = {
  '1.1': 'no such mailbox at this domain',
  '1.2': 'no such domain, or it takes no mail',
  '1.3': 'the address is not written rightly',
  '1.6': 'the mailbox has moved and left no new address',
  '1.7': 'the address of the sender is not written rightly',
  '1.8': 'the domain of the sender is unknown, or takes no mail',
  '1.10': 'the domain declares that it takes no mail',
  '2.1': 'the mailbox is closed',
  '2.2': 'the mailbox is full',
  '2.3': 'the letter is larger than this mailbox takes',
  '3.1': 'the receiving mail system is full',
  '3.2': 'the receiving mail system takes no mail at present',
  '3.4': 'the letter is larger than the receiving mail system takes',
  '4.4': 'no way to the receiving mail system is known',
  '4.7': 'it could not be delivered in the time allowed',
};

/** Class, subject and detail without needless zeros (RFC 3463 section 2); a comment may follow. */
const STATUS = /^\s*([245])\.(0|[1-9]\d{0,2})\.(0|[1-9]\d{0,2})(?=$|[\s(;,])/;

/** Reads a Status field (RFC 3464 section 2.3.4). Null for anything that is not a status code. */
export function parseStatus(text: string): EnhancedStatus | null {
  const match = STATUS.exec(text);
  if (!match) return null;
  const kind = match[1] === '2' ? 2 : match[1] === '4' ? 4 : 5;
  return { class: kind, subject: Number(match[2]), detail: Number(match[3]) };
}

/** The code as it is written: `5.1.1`. */
export function statusText(status: EnhancedStatus): string {
  return `${status.class}.${status.subject}.${status.detail}`;
}

/**
 * Verdict on a delivery that failed with this code. A full mailbox (5.2.2) never condemns an
 * address, whatever class the server chose: RFC 3463 section 3.3 calls it transient.
 */
export function verdictOfStatus(status: EnhancedStatus): Verdict {
  const code = `${status.subject}.${status.detail}`;
  if (OF_SENDER.has(code)) return 'policy';
  if (status.class !== 5) return 'soft';
  if (DEAD.has(code)) return 'dead';
  return OBJECTING.has(status.subject) || code === '3.4' ? 'policy' : 'soft';
}

/**
 * The code in plain words. An unknown detail is told by its subject, an unknown subject by its
 * class (RFC 3463 section 2).
 */
export function statusWords(status: EnhancedStatus): string {
  const reason =
    DETAILS[`${status.subject}.${status.detail}`] ?? SUBJECTS[status.subject] ?? SUBJECTS[0];
  if (status.class === 2) return 'delivered';
  return `${status.class === 4 ? 'not delivered yet' : 'not delivered'}: ${reason}`;
}

/** X.6.7, non-ASCII addresses not permitted for that sender or recipient (RFC 6531, from memory). */
export function isBeyondAscii(status: EnhancedStatus | null): boolean {
  return status?.subject === 6 && status.detail === 7;
}

/** What the shop is to do then; nothing is wrong with the address itself. */
export const BEYOND_ASCII =
  'Please look into this: a mail server on the way takes no address with letters such as ä or é. Ask the owner for another one, or let letters leave by a mail server that takes them (SMTPUTF8).';
