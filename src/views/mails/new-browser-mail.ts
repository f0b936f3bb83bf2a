import { escaped } from '../letters/templates.ts';

interface NewBrowserFacts {
  readonly organisation: string;
  readonly name: string;
  /** Instant of the sign-in. */
  readonly at: string;
  /** The browser in words. */
  readonly device: string;
  /** The network that it came from. */
  readonly network: string;
  /** Where somebody ends sessions and changes how they sign in. */
  readonly page: string;
}

/** The message to somebody of the organisation after a sign-in under their name from a new browser. */
export function newBrowserMail(facts: NewBrowserFacts): {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
} {
  const { organisation, name, at, device, network, page } = facts;
  const lines = [
    `Good day ${name},`,
    `somebody signed in to ${organisation} under your name, from a browser that was not used for it before: ${device}, on ${at.slice(0, 10)} at ${at.slice(11, 16)} UTC, from the network ${network}.`,
    'If that was you, there is nothing to do.',
    'If it was not: sign in, end that session on your page, and set up anew how you sign in. Tell a manager if you cannot.',
  ];
  return {
    subject: 'A sign-in from a new browser',
    text: [...lines, page, ''].join('\n\n'),
    html: [
      '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark"><title>A sign-in from a new browser</title></head><body style="font-family:sans-serif;font-size:17px;line-height:1.5">',
      ...lines.map((line) => `<p>${escaped(line)}</p>`),
      `<p><a href="${escaped(page)}">${escaped(page)}</a></p></body></html>`,
    ].join('\n'),
  };
}
