import type { Instant } from '../../domain/calendar/instant.ts';
import type { DkimSettings } from '../../mail/dkim.ts';
import { readImapUrl } from '../../mail/imap-url.ts';
import type { MailFinding } from '../../mail/mail-check.ts';
import { checkMail } from '../../mail/mail-check.ts';
import { readMailbox } from '../../mail/mailbox.ts';
import type { OutgoingLetter } from '../../mail/outgoing.ts';
import { newId } from '../context/new-id.ts';

export type { MailFinding } from '../../mail/mail-check.ts';

/** The mail settings as the program was started with them. */
export interface MailSetup {
  readonly smtpUrl: string | null;
  readonly mailFrom: { readonly name: string; readonly address: string };
  readonly publicUrl: string;
  readonly dkim: DkimSettings | null;
  readonly bounceAddress: string | null;
  readonly bounceImapUrl: string | null;
}

/**
 * Tries the mail settings one by one and says in plain words what works, what does not and which DNS
 * records to publish. Sends one trial letter where an address is given for it, and nothing else; the
 * mailbox for returned mail is opened and left as it is.
 */
export async function* checkMailSetup(
  setup: MailSetup,
  at: Instant,
  sendTo: string | null = null,
): AsyncGenerator<MailFinding> {
  const { smtpUrl, mailFrom, publicUrl, dkim } = setup;
  yield* checkMail({
    ...(smtpUrl === null ? {} : { smtpUrl }),
    mailFrom: mailFrom.address,
    publicUrl,
    ...(dkim === null ? {} : { dkim }),
    ...(sendTo === null ? {} : { trial: trialLetter(mailFrom, sendTo, at) }),
  });
  yield* checkReturns(setup);
}

function trialLetter(from: MailSetup['mailFrom'], address: string, at: Instant): OutgoingLetter {
  const words = 'This letter was sent to see whether letters arrive. Nothing needs doing.';
  return {
    messageId: `<${newId()}@${from.address.split('@')[1] ?? 'localhost'}>`,
    date: at,
    from,
    to: { name: '', address },
    subject: 'A trial letter',
    text: `${words}\n`,
    html: `<!doctype html><html lang="en"><title>A trial letter</title><p>${words}</p></html>`,
    headers: {},
  };
}

async function* checkReturns(setup: MailSetup): AsyncGenerator<MailFinding> {
  if (setup.bounceAddress === null && setup.smtpUrl !== null) {
    yield {
      level: 'advice',
      words: `no address for returned letters is set (BOUNCE_ADDRESS): they go to ${setup.mailFrom.address} and are matched by their Message-ID alone`,
    };
  }
  if (setup.bounceImapUrl === null) {
    yield {
      level: 'advice',
      words:
        'no mailbox for returned letters is set (BOUNCE_IMAP_URL): hand them in with POST /v1/bounces, or dead addresses go unnoticed',
    };
    return;
  }
  const address = readImapUrl(setup.bounceImapUrl);
  if ('fault' in address) {
    yield { level: 'fault', words: `BOUNCE_IMAP_URL ${address.fault}` };
    return;
  }
  const look = await readMailbox(address.box, () => Promise.resolve(), { messages: 0 });
  yield look.kind === 'fault'
    ? { level: 'fault', words: `the mailbox for returned letters: ${look.words}` }
    : { level: 'ok', words: `the mailbox for returned letters opens; ${look.left} are unread` };
}
