import type { OutgoingLetter } from '../../src/mail/outgoing.ts';

/** An invented letter; `change` replaces parts of it. */
export function sampleLetter(change: Partial<OutgoingLetter> = {}): OutgoingLetter {
  return {
    messageId: '<letter-42.1@example.org>',
    date: '2026-03-02T09:30:00Z',
    from: { name: 'Dachwerkstatt Süd', address: 'care@example.org' },
    to: { name: 'Ida Ölmann', address: 'ida@example.net' },
    subject: 'Bitte ölen: die Gelenke sind fällig',
    text: 'Die Gelenke warten auf Öl.\n',
    html: '<p>Die Gelenke warten auf Öl.</p>\n',
    headers: { 'X-Letter-Ref': 'tok1' },
    listUnsubscribe: {
      url: 'https://example.org/u/opaque-part-that-nobody-can-guess',
      mailto: 'stop+opaque@example.org?subject=unsubscribe',
    },
    listId: { name: 'Care reminders', id: 'reminders.example.org' },
    envelopeFrom: 'bounces+tok1@example.org',
    ...change,
  };
}
