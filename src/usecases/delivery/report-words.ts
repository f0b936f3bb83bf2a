import {
  BEYOND_ASCII,
  isBeyondAscii,
  parseStatus,
  statusWords,
} from '../../mail/enhanced-status.ts';
import type { RecipientReport } from '../../mail/report-parser.ts';

/** What a returned letter says about its address; `refused` is a complaint of its reader. */
export const REPORT_VERDICTS = ['dead', 'soft', 'policy', 'refused', 'none'] as const;
export type ReportVerdict = (typeof REPORT_VERDICTS)[number];

const LONGEST_DIAGNOSIS = 500;

/** What a letter's return means, for the people of the shop. */
export function wordsOfReturn(
  verdict: Exclude<ReportVerdict, 'none'>,
  about: RecipientReport | null,
): string {
  const status = parseStatus(about?.status ?? '');
  const reason = status === null ? 'no reason was given' : statusWords(status);
  switch (verdict) {
    case 'dead':
      return `The letter came back: the address takes no mail (${reason}). Nothing more is written to it: correct the address.`;
    case 'soft':
      return `The letter came back (${reason}). That may pass; only repetition counts against the address.`;
    case 'policy':
      if (isBeyondAscii(status)) return BEYOND_ASCII;
      return `Please look into this: the letter came back because the receiver objects to the sender or the letter, not to the address (${reason}).`;
    case 'refused':
      return 'marked a letter as unwanted in the mail program';
  }
}

/**
 * What the other mail server said, in its own words and not without end. Control characters go: a
 * text with a NUL in it cannot be stored on PostgreSQL, and the report would come again for ever.
 */
export function diagnosisOf(about: RecipientReport | null): string | null {
  const said = about?.diagnostic?.replace(/[\s\p{Cc}]+/gu, ' ').trim();
  return said?.slice(0, LONGEST_DIAGNOSIS) ?? null;
}
