import { parseStatus, verdictOfStatus } from './enhanced-status.ts';
import type { EnhancedStatus, Verdict } from './enhanced-status.ts';

/** What a mail server answered: the three digits, and the enhanced code if it gave one. */
export interface ServerReply {
  readonly code: number;
  readonly enhanced: EnhancedStatus | null;
  readonly text: string;
}

// A quoted reply stands at the beginning, or behind the words of the server that passed it on.
const REPLY = /^(?:.{0,300}?\bsaid:)?\s*([245]\d\d)(?=[\s-]|$)/s;
// Some servers write "#" before the enhanced code; replies of several lines repeat it on each.
const ENHANCED = /(?:^|[\s:])[245]\d\d[\s-]+#?([245]\.\d{1,3}\.\d{1,3})(?=[\s:;,()\]]|$)/;

/** Reads a reply line, alone or quoted in a report. Null where no reply code can be found. */
export function parseReply(text: string): ServerReply | null {
  const code = REPLY.exec(text);
  if (!code) return null;
  const enhanced = ENHANCED.exec(text);
  return {
    code: Number(code[1]),
    enhanced: enhanced ? parseStatus(enhanced[1] ?? '') : null,
    text,
  };
}

const OBJECTION =
  /\b(spam|polic(?:y|ies)|blocked|black ?list(?:ed)?|block ?list(?:ed)?|reputation|dmarc|dkim|spf|relay(?:ing)?|denied|unauthenticated)\b/i;
const NOBODY =
  /\b(?:unknown|no such|invalid) (?:local )?(?:user|recipient|mailbox|address|account|person)\b|\b(?:user|recipient|mailbox|address|account)\b.{0,60}\b(?:unknown|not found|not exist|doesn't exist)\b|\bnot an? (?:registered|known|valid)\b/i;

/**
 * Verdict on a reply of class 5 without any enhanced code worth reading: 550, 551 and 553 stand
 * for an unknown mailbox and for a rule of the receiver alike (RFC 5321 section 4.2.3), so only
 * plain words condemn the address, and any hint of a rule outweighs them. Common practice, no
 * source: the words.
 */
function verdictOfWords(reply: ServerReply): Verdict {
  if (OBJECTION.test(reply.text)) return 'policy';
  const mayMeanNobody = reply.code === 550 || reply.code === 551 || reply.code === 553;
  return mayMeanNobody && NOBODY.test(reply.text) ? 'dead' : 'soft';
}

/** Verdict on a reply that refused a recipient or a letter: the enhanced code decides. */
export function verdictOfReply(reply: ServerReply): Verdict {
  if (reply.code < 500) return 'soft';
  if (reply.enhanced && !isBare(reply.enhanced)) return verdictOfStatus(reply.enhanced);
  return verdictOfWords(reply);
}

/** X.0.0, "other undefined status": the code of a reporter that knows no better. */
export function isBare(status: EnhancedStatus): boolean {
  return status.subject === 0 && status.detail === 0;
}
