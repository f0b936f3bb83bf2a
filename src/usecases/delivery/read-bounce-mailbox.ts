import { readImapUrl } from '../../mail/imap-url.ts';
import { readMailbox } from '../../mail/mailbox.ts';
import type { MailboxLimits } from '../../mail/mailbox.ts';
import { applyReport } from './apply-report.ts';
import type { Context } from '../context/context.ts';

/** What one look into the mailbox for returned mail came to. */
export interface MailboxRecord {
  /** Messages read. */
  readonly read: number;
  /** Of these, reports that were taken account of. */
  readonly applied: number;
  /** Messages that are left for the next look. */
  readonly left: number;
  /** What went wrong with the mailbox, in plain words without the password; null for nothing. */
  readonly fault: string | null;
}

/**
 * Looks once into the mailbox that every organisation's returned mail goes to and takes account of
 * what is new there. A message is marked as read only when that is written down, so a crash in
 * between reads it again, which changes nothing more. `signal` ends the look behind the message in hand.
 */
export async function readBounceMailbox(
  context: Context,
  imapUrl: string,
  limits: Partial<MailboxLimits> = {},
  signal: AbortSignal | null = null,
): Promise<MailboxRecord> {
  const address = readImapUrl(imapUrl);
  if ('fault' in address) {
    return { read: 0, applied: 0, left: 0, fault: `BOUNCE_IMAP_URL ${address.fault}` };
  }
  let applied = 0;
  const look = await readMailbox(
    address.box,
    async (raw) => {
      if ((await applyReport(context, raw, null)).applied) applied += 1;
    },
    limits,
    signal,
  );
  if (look.kind === 'fault') return { read: look.handled, applied, left: 0, fault: look.words };
  return { read: look.handled, applied, left: look.left + look.failed, fault: null };
}
