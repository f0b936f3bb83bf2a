import { loadDkimKey } from './dkim.ts';
import type { DkimSettings } from './dkim.ts';
import { smtpSender } from './sender.ts';
import type { Sender } from './sender.ts';
import { traySender } from './tray.ts';

export interface MailSettings {
  readonly smtpUrl: string | null;
  readonly mailTray: string;
  readonly dkim: DkimSettings | null;
}

/** Thrown at the start when letters could not leave as the settings say. */
export class MailRefused extends Error {}

/**
 * The way out for letters: SMTP where an address is set, else the mail tray. A signing key is proved
 * with a probe first, because the mailer would otherwise send unsigned without a word.
 */
export async function senderFor(settings: MailSettings): Promise<Sender> {
  if (settings.smtpUrl === null) return traySender(settings.mailTray);
  if (settings.dkim === null) return smtpSender({ url: settings.smtpUrl });
  const loaded = await loadDkimKey(settings.dkim);
  if ('fault' in loaded) throw new MailRefused(`DKIM_KEY_FILE: ${loaded.fault}`);
  return smtpSender({ url: settings.smtpUrl, dkim: loaded.key });
}
