import { z } from 'zod';
import type { MailParty, OutgoingLetter } from '../../mail/outgoing.ts';
import { verpAddress } from '../../mail/verp.ts';
import type { LetterOrganisation } from '../../store/letters/delivery-rows.ts';
import type { WholeLetter } from '../../store/letters/letter-rows.ts';

/** How all letters are addressed. */
export interface Letterhead {
  /** The address that every letter comes from. Its name is used where an organisation has none. */
  readonly mailFrom: MailParty;
  /** Where reports of failed letters go, `name@domain`; each letter adds its id behind a plus. */
  readonly bounceAddress?: string | undefined;
  /** The right half of list identifiers. */
  readonly mailDomain: string;
}

const calendarColumn = z.strictObject({
  filename: z.string().min(1),
  method: z.enum(['PUBLISH', 'CANCEL']),
  content: z.string().min(1),
});

/**
 * A stored letter as it leaves: from its organisation at the organisation's address, answers to the
 * organisation, the same Message-ID and Date on every attempt. Letters about work in hand cannot be
 * refused and bear no way to. Throws where the stored calendar object is damaged.
 */
export function outgoingOf(
  letter: WholeLetter,
  organisation: Pick<LetterOrganisation, 'organisationName' | 'organisationEmail'>,
  head: Letterhead,
): OutgoingLetter {
  const { organisationName, organisationEmail } = organisation;
  const name = organisationName === '' ? head.mailFrom.name : organisationName;
  return {
    messageId: letter.messageId,
    date: letter.messageDate,
    from: { name, address: head.mailFrom.address },
    to: { name: letter.toName, address: letter.toAddress },
    subject: letter.subject,
    text: letter.text,
    html: letter.html,
    headers: organisationEmail === null ? {} : { 'Reply-To': organisationEmail },
    // Letters about work in hand belong to a list too, by which they are filed (RFC 2919).
    listId: {
      name,
      id: `${letter.topic}.${letter.organisationId}.${head.mailDomain}`,
    },
    ...(letter.stopUrl === null ? {} : { listUnsubscribe: { url: letter.stopUrl } }),
    ...(head.bounceAddress === undefined
      ? {}
      : { envelopeFrom: verpAddress(head.bounceAddress, letter.id) }),
    ...(letter.refersTo === null ? {} : { references: letter.refersTo }),
    ...(letter.calendar === null
      ? {}
      : { calendar: calendarColumn.parse(JSON.parse(letter.calendar)) }),
  };
}
