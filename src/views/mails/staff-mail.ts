import { speakerOf } from '../letters/sheet.ts';
import type { Speaker } from '../letters/sheet.ts';
import { escaped } from '../letters/templates.ts';

/** A message to somebody of the organisation about how they sign in: plain, with one link and no picture. */
export interface StaffMail {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

/** Somebody of an organisation, in whose language a message to them is. */
interface Reader {
  readonly name: string;
  readonly language: string;
}

interface InvitationFacts {
  readonly organisation: string;
  readonly url: string;
  /** Instant at which the link ends. */
  readonly until: string;
  readonly timeZone: string;
  /** Whether the person signs in already and lost the means to. */
  readonly again: boolean;
}

/** The message by which somebody is invited to sign in. */
export function invitationMail(
  reader: Reader,
  { organisation, url, until, timeZone, again }: InvitationFacts,
): StaffMail {
  const speaker = speakerOf(reader.language);
  const { say } = speaker;
  const which = again ? '.again' : '';
  return written(speaker, {
    subject: say(`staff.invitation.subject${which}`),
    before: [greeting(reader, speaker), say(`staff.invitation.what${which}`, { organisation })],
    url,
    after: [
      say('staff.invitation.end', { until: speaker.instant(until, timeZone) }),
      say('staff.invitation.not'),
    ],
  });
}

interface NewBrowserFacts {
  readonly organisation: string;
  /** Instant of the sign-in. */
  readonly at: string;
  readonly timeZone: string;
  /** The browser in words. */
  readonly device: string;
  /** The network that it came from. */
  readonly network: string;
  /** Where somebody ends sessions and changes how they sign in. */
  readonly page: string;
}

/** The message to somebody after a sign-in under their name from a new browser. */
export function newBrowserMail(reader: Reader, facts: NewBrowserFacts): StaffMail {
  const speaker = speakerOf(reader.language);
  const { organisation, at, timeZone, device, network, page } = facts;
  const when = speaker.instant(at, timeZone);
  return written(speaker, {
    subject: speaker.say('staff.browser.subject'),
    before: [
      greeting(reader, speaker),
      speaker.say('staff.browser.what', { organisation, device, network, at: when }),
      speaker.say('staff.browser.you'),
      speaker.say('staff.browser.not-you'),
    ],
    url: page,
    after: [],
  });
}

/** The letter that somebody sends themselves to see whether letters arrive. */
export function trialMail(language: string, organisation: string): StaffMail {
  const { language: tag, say } = speakerOf(language);
  const subject = say('staff.trial.subject');
  const words = say('staff.trial.what', { organisation });
  return {
    subject,
    text: `${words}\n`,
    html: `<!doctype html><html lang="${escaped(tag)}"><head><meta charset="utf-8"><title>${escaped(subject)}</title></head><body><p>${escaped(words)}</p></body></html>`,
  };
}

function greeting({ name }: Reader, { say }: Speaker): string {
  return name === '' ? say('staff.greeting') : say('staff.greeting.name', { name });
}

function written(
  { language }: Speaker,
  {
    subject,
    before,
    url,
    after,
  }: {
    readonly subject: string;
    readonly before: readonly string[];
    readonly url: string;
    readonly after: readonly string[];
  },
): StaffMail {
  const paragraphs = (lines: readonly string[]) => lines.map((line) => `<p>${escaped(line)}</p>`);
  return {
    subject,
    text: [...before, url, ...after, ''].join('\n\n'),
    html: [
      `<!doctype html><html lang="${escaped(language)}"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark"><title>${escaped(subject)}</title></head><body style="font-family:sans-serif;font-size:17px;line-height:1.5">`,
      ...paragraphs(before),
      `<p><a href="${escaped(url)}">${escaped(url)}</a></p>`,
      ...paragraphs(after),
      '</body></html>',
    ].join('\n'),
  };
}
