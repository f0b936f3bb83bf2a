import ICAL from 'ical.js';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('the diary as a feed', ({ open }) => {
  let shop: Workshop;
  let topId: string;
  let path: string;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    ({ topId } = await fitted(shop, { car: { registration: 'FÜ ÄÖ 1' } }));
    const { body } = await shop.post('/v1/feeds');
    path = body.url.replace('https://care.example.org', '');
  });
  afterEach(() => shop.close());

  const read = (headers: Record<string, string> = {}, method: 'GET' | 'HEAD' = 'GET') =>
    shop.server.inject({ method, url: path, headers });
  const book = (plannedOn: string) =>
    shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', plannedOn });
  const change = (id: string, body: object) =>
    shop.call('PATCH', `/v1/visits/${id}`, body, { 'if-match': '*' });
  const events = async () => {
    const calendar = new ICAL.Component(ICAL.parse((await read()).body) as unknown[]);
    return calendar.getAllSubcomponents('vevent').map((component) => {
      const event = new ICAL.Event(component);
      return {
        uid: event.uid,
        sequence: event.sequence,
        on: event.startDate.toString(),
        status: String(component.getFirstPropertyValue('status')),
        summary: event.summary,
      };
    });
  };

  it('needs no key, is private and says little of people', async () => {
    await book('2026-07-06');
    const answer = await read();
    expect(answer.statusCode).toBe(200);
    expect(answer.headers).toMatchObject({
      'content-type': 'text/calendar; charset=utf-8',
      'cache-control': 'private, max-age=3600',
      'x-robots-tag': 'noindex',
    });
    // Identifiers are random and may hold the letters of a name.
    const said = answer.body
      .replaceAll('\r\n ', '')
      .replaceAll(/[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/g, '');
    expect(said).not.toMatch(/Ada|Quill|ada@|outdoors|folded/i);
    const lines = answer.body.split('\r\n');
    // RFC 5545, 3.1: 75 octets without the line end, and no character is split.
    expect(Math.max(...lines.map((line) => Buffer.byteLength(line)))).toBeLessThanOrEqual(75);
    expect(answer.body).not.toContain('\uFFFD');
    expect(answer.body.endsWith('END:VCALENDAR\r\n')).toBe(true);
    const [event] = await events();
    expect(event).toMatchObject({
      on: '2026-07-06T07:00:00Z',
      status: 'CONFIRMED',
      sequence: 0,
      summary: 'FÜ ÄÖ 1: oil the pivots and check the washers',
    });
    expect((await read({}, 'HEAD')).headers['etag']).toBe(answer.headers['etag']);
  });

  it('carries changes: same UID, higher SEQUENCE, called off for 30 days', async () => {
    const { body } = await book('2026-07-06');
    const [before] = await events();
    await change(body.id, { plannedOn: '2026-07-13' });
    const [moved] = await events();
    expect(moved).toMatchObject({ uid: before?.uid, sequence: 1, on: '2026-07-13T07:00:00Z' });
    await change(body.id, { state: 'cancelled' });
    expect(await events()).toMatchObject([{ uid: before?.uid, sequence: 2, status: 'CANCELLED' }]);
    shop.setNow('2026-07-12T20:00:00.000Z');
    expect(await events()).toHaveLength(1);
    shop.setNow('2026-07-13T00:00:00.000Z');
    expect(await events()).toEqual([]);
  });

  it('keeps what was done, and leaves out what owners oiled themselves', async () => {
    const { body } = await book('2026-06-12');
    await change(body.id, { doneOn: '2026-06-12' });
    expect(await events()).toMatchObject([{ on: '2026-06-12', status: 'CONFIRMED' }]);
    shop.setNow('2026-09-11T00:00:00.000Z');
    expect(await events()).toEqual([]);
  });

  it('answers 304 while nothing changed, and the day alone is no proof against another tag', async () => {
    const { body } = await book('2026-07-06');
    shop.setNow('2026-06-12T15:00:00.000Z');
    const first = await read();
    const tag = String(first.headers['etag']);
    const since = String(first.headers['last-modified']);
    expect(since).toBe('Fri, 12 Jun 2026 09:00:00 GMT');
    const known: Record<string, string>[] = [
      { 'if-none-match': tag },
      { 'if-none-match': `"other", W/${tag}` },
      { 'if-none-match': '*' },
      { 'if-modified-since': since },
    ];
    for (const headers of known) {
      const again = await read(headers);
      expect(again.statusCode).toBe(304);
      expect(again.body).toBe('');
    }
    const other = { 'if-none-match': '"other"', 'if-modified-since': since };
    expect((await read(other)).statusCode).toBe(200);
    await change(body.id, { plannedOn: '2026-07-07' });
    expect((await read({ 'if-none-match': tag })).statusCode).toBe(200);
    expect((await read({ 'if-modified-since': since })).statusCode).toBe(200);
    expect((await read({ 'if-modified-since': 'yesterday' })).statusCode).toBe(200);
  });

  it('opens by its own address alone, until it is revoked', async () => {
    await book('2026-07-06');
    const { status, body: other } = await shop.post('/v1/feeds');
    expect(status).toBe(201);
    expect(other.url).not.toContain(path);
    const own = shop.key;
    shop.key = await shop.keyFor('Another Club');
    await shop.call('DELETE', '/v1/feeds');
    expect((await read()).statusCode).toBe(200);
    shop.key = own;
    expect((await shop.call('DELETE', '/v1/feeds')).status).toBe(204);
    const gone = await read();
    expect(gone.statusCode).toBe(404);
    expect(gone.body).not.toContain('FÜ');
    expect((await shop.get('/calendar/nothing.ics')).status).toBe(404);
    expect((await shop.get('/calendar/')).status).toBe(404);
  });
});
