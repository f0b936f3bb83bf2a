import type { OwnerDeskRecord } from '../../../usecases/owner-door/owner-desk.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import { type StayWords, stayWords } from '../../../views/letters/stay.ts';

/** What an owner is to be told of tops that must stay, ready to be sent or read out. */
export interface StayNotice {
  readonly lang: string;
  readonly stay: StayWords;
  /** Opens the shop's own mail program with all of it written; empty where no address takes mail. */
  readonly mail: string;
}

/** The words of the letters, in the owner's language; null where every top may be moved. */
export function stayNotice(
  owner: Pick<OwnerDeskRecord['owner'], 'name' | 'email' | 'language'>,
  staying: OwnerDeskRecord['staying'],
  organisation: OwnerDeskRecord['organisation'],
): StayNotice | null {
  const speaker = speakerOf(owner.language);
  const moves = staying.map(({ registration, mayMove }) => ({ registration, ...mayMove }));
  const stay = stayWords(moves, organisation, speaker);
  if (stay === null) return null;
  const lines = [
    speaker.say('greeting', { owner: owner.name }),
    ...stay.lead,
    stay.steps.map((step) => `- ${step}`).join('\r\n'),
    ...stay.cautions,
    speaker.say('closing', { organisation: organisation.name }),
  ];
  const letter = { subject: speaker.say('must-stay.subject'), body: lines.join('\r\n\r\n') };
  return {
    lang: speaker.language,
    stay,
    mail: owner.email === '' ? '' : mailTo(owner.email, letter),
  };
}

/** A link as RFC 6068 writes it: everything percent-encoded, line breaks as CRLF. */
function mailTo(address: string, fields: Readonly<Record<string, string>>): string {
  const query = Object.entries(fields).map(([key, text]) => `${key}=${encodeURIComponent(text)}`);
  return `mailto:${encodeURIComponent(address)}?${query.join('&')}`;
}
