import type { SendMailOptions } from 'nodemailer';

/** A person or organisation at one mail address. */
export interface MailParty {
  readonly name: string;
  readonly address: string;
}

/** One letter as it leaves the organisation: to one person, with everything the mail server needs. */
export interface OutgoingLetter {
  /** `<left@right>`, with or without the angle brackets. Stays the same on every attempt. */
  readonly messageId: string;
  /** Instant of writing, `YYYY-MM-DDThh:mm:ssZ`. Stays the same on every attempt. */
  readonly date: string;
  readonly from: MailParty;
  readonly to: MailParty;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
  /** Further headers. Those that the letter sets by its own fields are refused here. */
  readonly headers: Readonly<Record<string, string>>;
  readonly listUnsubscribe?: { readonly url: string; readonly mailto?: string };
  readonly listId?: { readonly name: string; readonly id: string };
  /** Return path (VERP address); else the address of `from`. */
  readonly envelopeFrom?: string;
  /** Message-IDs of earlier letters on the same matter, oldest first, separated by spaces. */
  readonly references?: string;
  readonly calendar?: {
    readonly filename: string;
    /** `CANCEL` takes back what was published (RFC 5546, 4.1.3). */
    readonly method: 'PUBLISH' | 'CANCEL';
    readonly content: string;
  };
}

/** The letter as nodemailer takes it, with its envelope always spelt out. */
export type LetterMail = SendMailOptions & {
  readonly envelope: { readonly from: string; readonly to: string[] };
};

/** A letter that must not be sent as it is. `field` names the faulty part; no value is quoted. */
export class LetterFault extends Error {
  readonly field: string;
  constructor(field: string, words: string) {
    super(`${field}: ${words}`);
    this.name = 'LetterFault';
    this.field = field;
  }
}

// oxlint-disable-next-line no-control-regex -- control characters are exactly what is refused
const CONTROL = /[\u0000-\u001f\u007f\u0085\u2028\u2029]/;
const HEADER_NAME = /^[!-9;-~]{1,76}$/;
const MESSAGE_ID = /^<?([^\s<>@]+@[^\s<>@]+)>?$/;
const OWN_HEADERS =
  /^(from|to|cc|bcc|sender|subject|date|message-id|references|in-reply-to|mime-version|content-.*|dkim-signature|list-unsubscribe|list-unsubscribe-post|list-id)$/i;

function oneLine(field: string, value: string): string {
  if (CONTROL.test(value)) throw new LetterFault(field, 'line breaks and control characters');
  return value;
}

function addressOf(field: string, value: string): string {
  oneLine(field, value);
  if (value.length > 254 || !/^[^\s<>(),;:"\\@]+@[^\s<>(),;:"\\@]+$/.test(value)) {
    throw new LetterFault(field, 'not a mail address');
  }
  return value;
}

function partyOf(field: string, party: MailParty): { name: string; address: string } {
  return {
    name: oneLine(`${field}.name`, party.name),
    address: addressOf(`${field}.address`, party.address),
  };
}

function messageIdOf(field: string, value: string): string {
  const match = MESSAGE_ID.exec(oneLine(field, value));
  if (!match) throw new LetterFault(field, 'not a Message-ID');
  return `<${match[1]}>`;
}

function headersOf(letter: OutgoingLetter): Record<string, string> {
  // RFC 3834: a machine wrote it; the Exchange header keeps absence notes from answering.
  const headers: Record<string, string> = {
    'Auto-Submitted': 'auto-generated',
    'X-Auto-Response-Suppress': 'OOF, AutoReply',
  };
  for (const [name, value] of Object.entries(letter.headers)) {
    if (!HEADER_NAME.test(name)) throw new LetterFault('headers', 'not a header name');
    if (OWN_HEADERS.test(name)) {
      throw new LetterFault(`headers.${name}`, 'is set by the letter itself');
    }
    const given = Object.keys(headers).find((own) => own.toLowerCase() === name.toLowerCase());
    headers[given ?? name] = oneLine(`headers.${name}`, value);
  }
  // RFC 8058 section 3.1: this header has one fixed value and stands beside List-Unsubscribe.
  if (letter.listUnsubscribe) headers['List-Unsubscribe-Post'] = 'List-Unsubscribe=One-Click';
  return headers;
}

function uriOf(field: string, value: string, schemes: RegExp): string {
  oneLine(field, value);
  if (/[\s<>,]/.test(value) || !schemes.test(value)) throw new LetterFault(field, 'not a link');
  return value;
}

function listOf(letter: OutgoingLetter): SendMailOptions['list'] {
  const list: NonNullable<SendMailOptions['list']> = {};
  if (letter.listUnsubscribe) {
    const { url, mailto } = letter.listUnsubscribe;
    const ways = [{ url: uriOf('listUnsubscribe.url', url, /^https?:\/\//) }];
    if (mailto !== undefined) {
      const link = mailto.startsWith('mailto:') ? mailto : `mailto:${mailto}`;
      ways.push({ url: uriOf('listUnsubscribe.mailto', link, /^mailto:[^@]+@[^@]+$/) });
    }
    // The nested array makes one header with two links; a flat one would make two headers.
    list['unsubscribe'] = [ways];
  }
  if (letter.listId) {
    const id = oneLine('listId.id', letter.listId.id);
    if (!/^[A-Za-z0-9._-]+$/.test(id)) throw new LetterFault('listId.id', 'not a list identifier');
    list['id'] = { url: id, comment: oneLine('listId.name', letter.listId.name) };
  }
  return list;
}

/**
 * The letter as nodemailer takes it: one recipient, Message-ID and Date kept, the list headers of
 * RFC 2369, 2919 and 8058, Auto-Submitted of RFC 3834, and a dated visit as one plain attachment.
 * A calendar alternative would be shown as a meeting request by some clients, twice by others.
 * Throws `LetterFault` for line breaks in any header value, name or address, and for addresses,
 * links and identifiers of the wrong form.
 */
export function toMailOptions(letter: OutgoingLetter): LetterMail {
  const date = new Date(letter.date);
  if (Number.isNaN(date.getTime())) throw new LetterFault('date', 'not an instant');
  const from = partyOf('from', letter.from);
  const to = partyOf('to', letter.to);
  const messageId = messageIdOf('messageId', letter.messageId);
  const earlier = letter.references?.split(/ +/).filter((id) => id !== '');
  const references = earlier?.map((id) => messageIdOf('references', id));
  const { html, pictures } = withPictures(letter.html, messageId);
  const attachments = [...pictures, ...(letter.calendar ? [calendarOf(letter.calendar)] : [])];
  return {
    messageId,
    date,
    from,
    to,
    subject: oneLine('subject', letter.subject),
    text: letter.text,
    html,
    headers: headersOf(letter),
    list: listOf(letter),
    envelope: {
      from:
        letter.envelopeFrom === undefined
          ? from.address
          : addressOf('envelopeFrom', letter.envelopeFrom),
      to: [to.address],
    },
    ...(references?.length ? { references, inReplyTo: references.at(-1) } : {}),
    ...(attachments.length > 0 ? { attachments } : {}),
    // The content is our own text; nothing in it may make the mailer open a file or an address.
    disableFileAccess: true,
    disableUrlAccess: true,
  };
}

/**
 * The HTML with its pictures moved into parts of their own (RFC 2392): mail programs show those, but
 * few show a picture that stands in the text as a data address.
 */
function withPictures(html: string, messageId: string) {
  const pictures: NonNullable<SendMailOptions['attachments']> = [];
  const moved = html.replaceAll(DATA_PICTURE, (_, kind: string, content: string) => {
    const cid = `picture${pictures.length + 1}.${messageId.slice(1, -1)}`;
    pictures.push({
      cid,
      filename: `picture${pictures.length + 1}.${kind}`,
      contentType: `image/${kind}`,
      contentDisposition: 'inline',
      content,
      encoding: 'base64',
    });
    return `src="cid:${cid}"`;
  });
  return { html: moved, pictures };
}

const DATA_PICTURE = /src="data:image\/(png|jpeg|gif);base64,([A-Za-z0-9+/=]+)"/g;

function calendarOf(calendar: NonNullable<OutgoingLetter['calendar']>) {
  return {
    filename: oneLine('calendar.filename', calendar.filename),
    contentType: `text/calendar; charset=utf-8; method=${calendar.method}`,
    content: calendar.content,
    // Base64 keeps the CRLF that RFC 5545 section 3.1 asks for, whoever decodes it.
    contentTransferEncoding: 'base64' as const,
  };
}
