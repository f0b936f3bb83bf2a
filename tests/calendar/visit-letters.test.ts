import { afterEach, beforeEach, expect, it } from 'vitest';
import { outgoingOf } from '../../src/usecases/delivery/delivery-letter.ts';
import { toMailOptions } from '../../src/mail/outgoing.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { attachedEvent, inBrief, visitLetters } from './told.ts';
import { wholeLetters } from '../setup/stored-letters.ts';

eachDatabase('letters about a visit', ({ open }) => {
  let shop: Workshop;
  let carId: string;
  let topId: string;
  let ownerId: string;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    ({ carId, topId, ownerId } = await fitted(shop));
  });
  afterEach(() => shop.close());

  const book = (plannedOn: string, more: object = {}) =>
    shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', plannedOn, ...more });
  const change = (id: string, body: object) =>
    shop.call('PATCH', `/v1/visits/${id}`, body, { 'if-match': '*' });
  const leave = () =>
    shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "letter" SET "state" = 'delivered' WHERE "state" = 'planned'`),
    );

  // RFC 5546, 4.1.1 to 4.1.3: published, changed, cancelled under one UID and a rising SEQUENCE.
  it('tell of booking, moving and calling off, each once, with an object that follows', async () => {
    const { body } = await book('2026-07-06', { minutes: 105 });
    expect(inBrief(await visitLetters(shop, carId))).toEqual(['visit-booked planned']);
    await leave();
    shop.setNow('2026-06-12T10:00:00.000Z');
    await change(body.id, { plannedOn: '2026-07-13' });
    await change(body.id, { plannedOn: '2026-07-13' });
    await leave();
    shop.setNow('2026-06-12T11:00:00.000Z');
    expect((await change(body.id, { state: 'cancelled' })).status).toBe(200);
    const letters = await visitLetters(shop, carId);
    expect(inBrief(letters)).toEqual([
      'visit-booked delivered',
      'visit-moved delivered',
      'visit-called-off planned',
    ]);
    const events = await Promise.all(letters.map(({ id }) => attachedEvent(shop, id)));
    expect(events.map((event) => event?.method)).toEqual(['PUBLISH', 'PUBLISH', 'CANCEL']);
    expect(events.map((event) => event?.attachedAs)).toEqual(['PUBLISH', 'PUBLISH', 'CANCEL']);
    expect(events.map((event) => event?.status)).toEqual(['CONFIRMED', 'CONFIRMED', 'CANCELLED']);
    expect(new Set(events.map((event) => event?.uid))).toEqual(
      new Set([`visit-${body.id}@example.org`]),
    );
    expect(events.map((event) => event?.sequence)).toEqual([0, 1, 3]);
    // London is an hour ahead of UTC in July: the car is brought at 8 and ready at 10.
    expect(events.map((event) => event?.start)).toEqual([
      '2026-07-06T07:00:00Z',
      '2026-07-13T07:00:00Z',
      '2026-07-13T07:00:00Z',
    ]);
    expect(events[0]?.end).toBe('2026-07-06T09:00:00Z');
    expect(letters[0]?.text).toContain('Bring it: Monday, 6 July 2026 at 08:00');
    expect(letters[0]?.text).toContain('Ready: from 10:00 on the same day');
    expect(events.map((event) => event?.stamp)).toEqual([
      '2026-06-12T09:00:00Z',
      '2026-06-12T10:00:00Z',
      '2026-06-12T11:00:00Z',
    ]);
    // RFC 5546, 3.2.5: no alarm in a CANCEL.
    expect(events.map((event) => event?.alarms)).toEqual([1, 1, 0]);
    expect(letters[1]?.text).toContain('13 July 2026');
    expect(letters[1]?.text).toContain('Instead of');
    expect(letters[2]?.text).toContain('does not take place');
    expect(letters.every(({ text }) => !text.includes('/u/'))).toBe(true);
  });

  it('are first told of where they stand when the first letter leaves, or not at all', async () => {
    const { body } = await book('2026-07-06');
    shop.setNow('2026-06-12T10:00:00.000Z');
    await change(body.id, { plannedOn: '2026-07-13' });
    const told = await visitLetters(shop, carId);
    expect(inBrief(told)).toEqual(['visit-booked cancelled', 'visit-booked planned']);
    expect(told[1]?.text).toContain('13 July 2026');
    expect(told[1]?.text).not.toContain('Instead of');
    await change(body.id, { state: 'cancelled' });
    expect(inBrief(await visitLetters(shop, carId))).toEqual([
      'visit-booked cancelled',
      'visit-booked cancelled',
    ]);
  });

  it('tell an owner who chose a day herself what became of it, before any letter left', async () => {
    const link = await linkFor(shop, ownerId, 'book', `top ${topId}`);
    const { html } = await browse(shop, 'GET', link);
    const field = (name: string) =>
      new RegExp(`name="${name}" value="([^"]+)"`).exec(html)?.[1] ?? '';
    await browse(shop, 'POST', link, { was: field('was'), day: field('day') });
    const day = field('day').slice(0, 10);
    const { items } = (await shop.get(`/v1/tops/${topId}/visits`)).body;
    await change(items[0].id, { plannedOn: '2026-07-13' });
    const [, moved] = await visitLetters(shop, carId);
    expect(moved).toMatchObject({ kind: 'visit-moved', state: 'planned' });
    expect(moved?.text).toContain(
      `Instead of: ${day === '2026-06-17' ? 'Wednesday, 17 June' : day}`,
    );
    await change(items[0].id, { state: 'cancelled' });
    expect(inBrief(await visitLetters(shop, carId))).toEqual([
      'visit-booked cancelled',
      'visit-moved cancelled',
      'visit-called-off planned',
    ]);
  });

  // The clocks go back on 25 October 2026: RFC 5545, 3.3.5 gives instants in UTC by their Z.
  it('hold the same time of day before and after the clocks change', async () => {
    for (const day of ['2026-10-23', '2026-10-26']) {
      await book(day, { kind: day === '2026-10-23' ? 'look' : 'settling' });
    }
    const letters = await visitLetters(shop, carId);
    const events = await Promise.all(letters.map(({ id }) => attachedEvent(shop, id)));
    expect(events.map((event) => event?.start)).toEqual([
      '2026-10-23T07:00:00Z',
      '2026-10-26T08:00:00Z',
    ]);
    expect(letters.map(({ text }) => /Bring it: (.*)/.exec(text)?.[1])).toEqual([
      'Friday, 23 October 2026 at 08:00',
      'Monday, 26 October 2026 at 08:00',
    ]);
  });

  it('tell of another time on the same day as of another day', async () => {
    const { body } = await book('2026-07-06');
    await leave();
    const other = await fitted(shop, { car: { registration: 'FK 9' } });
    expect(
      (await shop.post(`/v1/tops/${other.topId}/booking`, { on: '2026-07-06' })).body,
    ).toMatchObject({ dropOffAt: '2026-07-06T09:00:00.000Z' });
    const moved = await shop.call(
      'PUT',
      `/v1/visits/${body.id}/booking`,
      { on: '2026-07-06', at: '14:00' },
      { 'if-match': '*' },
    );
    expect(moved.body).toMatchObject({
      dropOffAt: '2026-07-06T13:00:00.000Z',
      readyAt: '2026-07-06T15:00:00.000Z',
    });
    expect(inBrief(await visitLetters(shop, carId))).toEqual([
      'visit-booked delivered',
      'visit-moved planned',
    ]);
    const taken = await shop.call(
      'PUT',
      `/v1/visits/${body.id}/booking`,
      { on: '2026-07-06', at: '10:00' },
      { 'if-match': '*' },
    );
    expect(taken.status).toBe(409);
  });

  it('leave with their objects as plain attachments', async () => {
    const { body } = await book('2026-07-06');
    await leave();
    await change(body.id, { state: 'cancelled' });
    const rows = await wholeLetters(shop.context.store.sql, `l."kind" LIKE 'visit-%'`);
    const house = { organisationName: 'Elmyard Soft Tops', organisationEmail: null };
    const head = { mailFrom: { name: '', address: 'care@example.org' }, mailDomain: 'example.org' };
    const types = rows.map((row) => {
      const [attachment] = toMailOptions(outgoingOf(row, house, head)).attachments ?? [];
      return attachment?.contentType;
    });
    expect(types).toEqual([
      'text/calendar; charset=utf-8; method=PUBLISH',
      'text/calendar; charset=utf-8; method=CANCEL',
    ]);
  });

  it('say nothing of a day that the owner was told and that holds again', async () => {
    const { body } = await book('2026-07-06');
    await leave();
    await change(body.id, { plannedOn: '2026-07-13' });
    await change(body.id, { plannedOn: '2026-07-06' });
    expect(inBrief(await visitLetters(shop, carId))).toEqual([
      'visit-booked delivered',
      'visit-moved cancelled',
    ]);
    await change(body.id, { plannedOn: '2026-07-14' });
    const moved = (await visitLetters(shop, carId)).at(-1);
    expect(moved).toMatchObject({ kind: 'visit-moved', state: 'planned' });
    expect(moved?.text).toContain('6 July 2026');
    await leave();
    await change(body.id, { state: 'cancelled' });
    await change(body.id, { state: 'booked' });
    expect(inBrief(await visitLetters(shop, carId)).slice(2)).toEqual([
      'visit-moved delivered',
      'visit-called-off cancelled',
    ]);
    await change(body.id, { state: 'cancelled' });
    await leave();
    await change(body.id, { state: 'booked' });
    expect(inBrief(await visitLetters(shop, carId)).slice(4)).toEqual([
      'visit-called-off delivered',
      'visit-booked planned',
    ]);
  });

  it('keep silent about days gone by, misses and visits loaded late', async () => {
    await book('2026-06-11');
    const missed = await book('2026-06-12');
    await change(missed.body.id, { state: 'missed' });
    await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', doneOn: '2026-05-20' });
    expect(inBrief(await visitLetters(shop, carId))).toEqual(['visit-booked cancelled']);
  });

  it('report a visit, the worst pivot first, and end the booking that led to it', async () => {
    await book('2026-06-15');
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-12',
      readings: [
        { pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent: 2 },
        { pivot: 'R-MAIN', state: 'stiff', oiled: true, washersPresent: 1, axialPlayMm: 0.45 },
        { pivot: 'L-LINK1', state: 'seized', oiled: false },
      ],
      findings: [{ text: 'Seal is torn.', advised: 'Fit a new one.', outcome: 'declined' }],
    });
    const letters = await visitLetters(shop, carId);
    expect(inBrief(letters)).toEqual(['visit-booked cancelled', 'visit-report planned']);
    const { id = '', text = '' } = letters[1] ?? {};
    expect(text.indexOf('Left link pivot 1')).toBeGreaterThan(0);
    expect(text.indexOf('Left link pivot 1')).toBeLessThan(text.indexOf('Right main pivot'));
    expect(text).toContain('1. Left link pivot 1 is seized. ■');
    expect(text).toContain(
      'Right main pivot is stiff; 1 washer missing; 0.45 mm of play along the pin.',
    );
    expect(text).not.toContain('L-MAIN');
    expect(text).toContain('3 joints were looked at.');
    expect(text).toContain('2 joints were oiled.');
    expect(text).toContain('Seal is torn.');
    expect(text).toContain('You decided against it for now.');
    // One joint is seized: that comes first, and oil waits for its repair.
    expect(text.indexOf('Do not move the top of FK 1')).toBeLessThan(text.indexOf('Here is the'));
    expect(text).not.toContain('12 December 2026');
    expect(await attachedEvent(shop, id)).toBeNull();
  });

  it('speak the language of the owner', async () => {
    await shop.call('PATCH', `/v1/owners/${ownerId}`, { language: 'de' }, { 'if-match': '*' });
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      readings: [
        { pivot: 'R-MAIN', state: 'loose', oiled: true, washersPresent: 0, axialPlayMm: 0.45 },
      ],
    });
    const [letter] = await visitLetters(shop, carId);
    expect(letter?.text).toContain(
      'Hauptgelenk rechts ist locker; 2 Unterlegscheiben fehlen; 0,45 mm Axialspiel, in Richtung des Bolzens.',
    );
    expect(letter?.text).not.toMatch(/\b(?:the|play|washer)\b/);
  });

  it('that wait are written anew in another language, and no language is taken without letters', async () => {
    await book('2026-07-06');
    const say = (language: string) =>
      shop.call('PATCH', `/v1/owners/${ownerId}`, { language }, { 'if-match': '*' });
    expect((await say('de-AT')).status).toBe(200);
    const letters = await visitLetters(shop, carId);
    expect(inBrief(letters)).toEqual(['visit-booked cancelled', 'visit-booked planned']);
    expect(letters[1]?.text).toContain('6. Juli 2026');
    const refused = await say('xx');
    expect(refused.status).toBe(400);
    expect(JSON.stringify(refused.body)).toContain('Letters are written in de and en');
    const owner = { name: 'Bo', email: 'bo@example.org', language: 'fr-FR' };
    expect((await shop.post('/v1/owners', owner)).status).toBe(400);
  });

  it('wait for the hours of the owner’s zone', async () => {
    shop.setNow('2026-06-12T20:30:00.000Z');
    await book('2026-07-06');
    const [letter] = await visitLetters(shop, carId);
    expect(letter?.notBefore).toBe('2026-06-13T07:00:00.000Z');
  });

  it('are written anew to a corrected address, and only those that were lost', async () => {
    const told = await book('2026-07-06');
    await leave();
    const lost = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      plannedOn: '2026-07-20',
    });
    const email = 'ada.quill@example.com';
    await shop.call('PATCH', `/v1/owners/${ownerId}`, { email }, { 'if-match': '*' });
    const letters = await visitLetters(shop, carId);
    expect(inBrief(letters)).toEqual([
      'visit-booked delivered',
      'visit-booked cancelled',
      'visit-booked planned',
    ]);
    expect(letters[2]).toMatchObject({ to: { address: email } });
    expect(letters[2]?.text).toContain('20 July 2026');
    expect(told.body.id).not.toBe(lost.body.id);
  });

  it('tell that a visit falls away with the top that it was for', async () => {
    await book('2026-07-06');
    await leave();
    await shop.post('/v1/tops', {
      carId,
      fittedOn: '2026-06-12',
      framePattern: 'four-seat-manual',
      cover: { material: 'vinyl' },
      window: 'glass',
    });
    const letters = await visitLetters(shop, carId);
    expect(inBrief(letters)).toEqual(['visit-booked delivered', 'visit-called-off planned']);
    expect((await attachedEvent(shop, letters[1]?.id ?? ''))?.sequence).toBe(1);
  });

  it('are not written by private owners to themselves, nor to an erased one', async () => {
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "organisation" SET "kind" = 'private'`),
    );
    await book('2026-07-06');
    await shop.post(`/v1/tops/${topId}/visits`, { kind: 'look', doneOn: '2026-06-12' });
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "organisation" SET "kind" = 'shop'`),
    );
    await shop.call('DELETE', `/v1/owners/${ownerId}`, undefined, { 'if-match': '*' });
    await book('2026-08-06', { kind: 'look' });
    expect(await visitLetters(shop, carId)).toEqual([]);
  });
});
