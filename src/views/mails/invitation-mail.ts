import { escaped } from '../letters/templates.ts';

interface InvitationFacts {
  readonly organisation: string;
  readonly name: string;
  readonly url: string;
  /** Instant at which the link ends. */
  readonly until: string;
  /** Whether the person signs in already and lost the means to. */
  readonly again: boolean;
}

/** The message by which somebody of the organisation is invited to sign in; it holds one link and no picture. */
export function invitationMail({ organisation, name, url, until, again }: InvitationFacts): {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
} {
  const greeting = name === '' ? 'Good day,' : `Good day ${name},`;
  const what = again
    ? `${organisation} sends you a link to set up anew how you sign in. What you signed in with before ends when you use it.`
    : `${organisation} invites you to sign in to its records of convertible tops.`;
  const end = `The link is good once, until ${until.slice(0, 10)} ${until.slice(11, 16)} UTC. Whoever has it comes in under your name: hand it to nobody.`;
  const not = 'If you expected nothing of the kind, leave it: without the link nothing happens.';
  const lines = [greeting, what];
  return {
    subject: again ? 'Set up how you sign in' : 'Your invitation to sign in',
    text: [...lines, url, end, not, ''].join('\n\n'),
    html: [
      '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark"><title>Sign in</title></head><body style="font-family:sans-serif;font-size:17px;line-height:1.5">',
      ...lines.map((line) => `<p>${escaped(line)}</p>`),
      `<p><a href="${escaped(url)}">${escaped(url)}</a></p>`,
      `<p>${escaped(end)}</p><p>${escaped(not)}</p></body></html>`,
    ].join('\n'),
  };
}
