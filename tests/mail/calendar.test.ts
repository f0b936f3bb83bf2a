import * as fc from 'fast-check';
import ICAL from 'ical.js';
import { describe, expect, test } from 'vitest';
import { calendarFeed, calendarObject } from '../../src/mail/calendar.ts';
import type { CalendarVisit } from '../../src/mail/calendar.ts';

/** The values of RFC 5546 section 4.1 (published): publish, change, cancel. */
const VISIT: CalendarVisit = {
  uid: '0981234-1234234-23@example.com',
  sequence: 0,
  stamp: '1997-06-11T19:00:00Z',
  start: '1997-07-01T20:00:00Z',
  minutes: 120,
  summary: 'Oil the joints',
  organiser: { name: 'Shop', address: 'a@example.com' },
  status: 'CONFIRMED',
};

function read(text: string) {
  const calendar = new ICAL.Component(ICAL.parse(text));
  const events = calendar.getAllSubcomponents('vevent');
  const value = (name: string) => String(events[0]?.getFirstPropertyValue(name));
  return { calendar, events, value, method: calendar.getFirstPropertyValue('method') };
}

const octets = (line: string): number => Buffer.byteLength(line);

describe('one visit: RFC 5546 sections 4.1.1 to 4.1.3', () => {
  test('published', () => {
    const { events, value, method } = read(calendarObject({ ...VISIT, method: 'PUBLISH' }));
    expect(method).toBe('PUBLISH');
    expect(events).toHaveLength(1);
    expect(value('uid')).toBe('0981234-1234234-23@example.com');
    expect(value('dtstart')).toBe('1997-07-01T20:00:00Z');
    expect(value('dtend')).toBe('1997-07-01T22:00:00Z');
    expect(value('dtstamp')).toBe('1997-06-11T19:00:00Z');
    expect(value('organizer')).toBe('mailto:a@example.com');
    expect(value('summary')).toBe('Oil the joints');
    // RFC 5545 section 3.8.7.4: no SEQUENCE means 0, so does SEQUENCE:0.
    expect(value('sequence')).toBe('0');
    expect(value('status')).toBe('CONFIRMED');
  });

  test('changed: same UID, higher SEQUENCE, later DTSTAMP', () => {
    const change = { sequence: 1, stamp: '1997-06-12T19:00:00Z', start: '1997-07-01T21:00:00Z' };
    const { value } = read(calendarObject({ ...VISIT, ...change, method: 'PUBLISH' }));
    expect(value('uid')).toBe(VISIT.uid);
    expect(value('sequence')).toBe('1');
    expect(value('dtstamp')).toBe('1997-06-12T19:00:00Z');
    expect(value('dtstart')).toBe('1997-07-01T21:00:00Z');
    expect(value('dtend')).toBe('1997-07-01T23:00:00Z');
  });

  test('called off: METHOD CANCEL, organiser, no alarm, STATUS CANCELLED whatever was said', () => {
    const change = { sequence: 2, stamp: '1997-06-13T19:00:00Z' };
    const { events, value, method } = read(
      calendarObject({ ...VISIT, ...change, method: 'CANCEL' }),
    );
    expect(method).toBe('CANCEL');
    expect(value('sequence')).toBe('2');
    expect(value('dtstamp')).toBe('1997-06-13T19:00:00Z');
    expect(value('status')).toBe('CANCELLED');
    expect(value('organizer')).toBe('mailto:a@example.com');
    expect(events[0]?.getAllSubcomponents('valarm')).toEqual([]);
    expect(events[0]?.getFirstProperty('attendee')).toBeNull();
  });

  test('a whole day ends, exclusively, on the next one; also in a leap year and at its end', () => {
    for (const [start, end] of [
      ['2028-02-28', '2028-02-29'],
      ['2027-02-28', '2027-03-01'],
      ['2026-12-31', '2027-01-01'],
      ['2026-03-29', '2026-03-30'],
    ] as const) {
      const text = calendarObject({ ...VISIT, start, method: 'PUBLISH' });
      const { events, value } = read(text);
      expect(text).toContain(`DTSTART;VALUE=DATE:${start.replaceAll('-', '')}\r\n`);
      expect(value('dtend')).toBe(end);
      expect(events[0]?.getFirstProperty('dtend')?.type).toBe('date');
      expect(value('transp')).toBe('TRANSPARENT');
    }
  });

  test('never a recurrence, and one alarm two days ahead', () => {
    const text = calendarObject({ ...VISIT, method: 'PUBLISH' });
    expect(text).not.toMatch(/RRULE|RDATE|EXDATE|RECURRENCE-ID/);
    expect(text.match(/BEGIN:VALARM/g)).toHaveLength(1);
    expect(text).toContain('TRIGGER:-P2D\r\n');
  });

  test.each<[string, Partial<CalendarVisit>]>([
    ['no such day', { start: '2027-02-29' }],
    ['no instant', { start: 'soon' }],
    ['no instant', { start: '2027-02-01T10:00:00' }],
    ['no instant', { stamp: '2027-02-01' }],
    ['no length', { minutes: 0 }],
    ['no length', { minutes: Number.NaN }],
    ['sequence', { sequence: -1 }],
    ['sequence', { sequence: 1.5 }],
  ])('%s: %j is refused', (_why, change) => {
    expect(() => calendarObject({ ...VISIT, ...change, method: 'PUBLISH' })).toThrow(RangeError);
  });
});

describe('the lines: RFC 5545 section 3.1', () => {
  test('every line ends in CRLF, the last one too', () => {
    for (const text of [
      calendarObject({ ...VISIT, method: 'PUBLISH' }),
      calendarFeed({ name: 'x', events: [] }),
    ]) {
      expect(text.endsWith('END:VCALENDAR\r\n')).toBe(true);
      expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    }
  });

  test('at most 75 octets, never splitting a character, and back to the very text', () => {
    const text = fc.string({
      unit: fc.constantFrom('a', 'ä', '€', '🚗', ',', ';', '\\', '\n', '"', ':', ' ', 'é'),
      maxLength: 300,
    });
    fc.assert(
      fc.property(text, text, (summary, description) => {
        const written = calendarObject({ ...VISIT, summary, description, method: 'PUBLISH' });
        const lines = Buffer.from(written).toString('latin1').split('\r\n');
        for (const line of lines) {
          expect(line.length).toBeLessThanOrEqual(75);
          const bytes = Buffer.from(line, 'latin1');
          expect(Buffer.from(bytes.toString('utf8'))).toEqual(bytes);
        }
        const { value, events } = read(written);
        expect(events).toHaveLength(1);
        const oneLine = summary.replaceAll('\n', ' ').trim();
        expect(events[0]?.getFirstPropertyValue('summary') ?? '').toBe(oneLine);
        expect(value('description')).toBe(description);
      }),
    );
  });

  test('an umlaut and an emoji right at the edge', () => {
    for (let pad = 55; pad < 80; pad++) {
      const summary = `${'x'.repeat(pad)}ä🚗ä`;
      const written = calendarObject({ ...VISIT, summary, method: 'PUBLISH' });
      expect(Math.max(...written.split('\r\n').map(octets))).toBeLessThanOrEqual(75);
      expect(read(written).value('summary')).toBe(summary);
    }
  });

  test('no text adds a line of its own', () => {
    const evil = 'x\r\nATTENDEE:mailto:y@example.net\u0000\u2028';
    const written = calendarObject({
      ...VISIT,
      uid: evil,
      summary: evil,
      description: evil,
      url: `https://example.org/${evil}`,
      organiser: { name: `"${evil}`, address: 'a@example.org' },
      method: 'PUBLISH',
    });
    expect(written).not.toMatch(/^ATTENDEE/m);
    expect(read(written).events[0]?.getAllProperties('attendee')).toEqual([]);
    expect(calendarFeed({ name: evil, events: [] })).not.toMatch(/^ATTENDEE/m);
  });

  test('a link comes back as it went in', () => {
    const url = 'https://example.org/v/abc?x=1&y=2#z';
    expect(read(calendarObject({ ...VISIT, url, method: 'PUBLISH' })).value('url')).toBe(url);
  });

  test('a name with quotes and commas comes back readable', () => {
    const organiser = { name: 'Ida "Öl" Meier, Sohn; & Co: 1', address: 'a@example.org' };
    const { events } = read(calendarObject({ ...VISIT, organiser, method: 'PUBLISH' }));
    expect(events[0]?.getFirstProperty('organizer')?.getParameter('cn')).toBe(
      "Ida 'Öl' Meier, Sohn; & Co: 1",
    );
  });
});

describe('the feed', () => {
  const events: CalendarVisit[] = [
    VISIT,
    { ...VISIT, uid: 'b@example.com', sequence: 3, status: 'CANCELLED', start: '2026-05-04' },
  ];

  test('tells programs how often to look, and keeps what was called off', () => {
    const text = calendarFeed({ name: 'Bench, north; side', events });
    expect(text).toContain('REFRESH-INTERVAL;VALUE=DURATION:PT12H\r\n');
    expect(text).toContain('X-PUBLISHED-TTL:PT12H\r\n');
    expect(text).not.toMatch(/METHOD|VALARM/);
    // RFC 7986 section 5.1: a text like any other, so its signs are escaped.
    expect(text).toContain('NAME:Bench\\, north\\; side\r\n');
    const { events: found } = read(text);
    expect(found.map((event) => event.getFirstPropertyValue('status'))).toEqual([
      'CONFIRMED',
      'CANCELLED',
    ]);
  });

  test('the same records give the same bytes', () => {
    expect(calendarFeed({ name: 'x', events })).toBe(calendarFeed({ name: 'x', events }));
  });
});
