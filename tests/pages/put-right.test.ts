import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { traySender } from '../../src/mail/tray.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

const NOW = '2026-06-12T09:00:00.000Z';

type Page = Awaited<ReturnType<Desk['open']>>;

/** Presses the button of the page that asks before it is done. */
async function sure(desk: Desk, page: Page, action: string): Promise<Page> {
  expect([action, page.status]).toEqual([action, 200]);
  expect(page.html).toContain('name="sure" value="yes"');
  return desk.send(page, action);
}

async function lettersOf(shop: Workshop, carId: string): Promise<string[]> {
  const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=200`);
  return body.items.map(({ kind, state }: Record<string, string>) => `${kind} ${state}`);
}

async function callOff(shop: Workshop, visitId: string): Promise<void> {
  const headers = { 'if-match': '*' };
  await shop.call('PATCH', `/v1/visits/${visitId}`, { state: 'cancelled' }, headers);
}

/** Lets the letters that wait leave. */
async function deliver(shop: Workshop): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'foldkeep-put-right-'));
  const sender = traySender(folder);
  const mailFrom = { name: 'Shop', address: 'shop@example.org' };
  await deliverLetters(shop.context, sender, { mailFrom });
  await sender.close();
  await rm(folder, { recursive: true });
}

async function openShop(open: (now: string) => Promise<Workshop>) {
  const shop = await open(NOW);
  const ids = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  return { shop, desk: await openDesk(shop), ...ids };
}

eachDatabase('what was recorded', ({ open }) => {
  it('has an undo right after it: the visit, its report and its due day are as if never said', async () => {
    const { shop, desk, topId, carId } = await openShop(open);
    const before = (await shop.get(`/v1/tops/${topId}`)).body.lubrication;
    const form = await desk.open(`/tops/${topId}/visit`);
    const done = await desk.send(form, `/tops/${topId}/visit`);
    const record = await desk.open(String(done.headers['location']));
    expect(wordsOf(record.html)).toContain('Undo: it was not so');
    expect((await shop.get(`/v1/tops/${topId}`)).body.lubrication.lastOn).toBe('2026-06-12');
    expect(await lettersOf(shop, carId)).toEqual(['visit-report planned']);
    const action = /action="(\/visits\/[\w-]+\/withdraw)"/.exec(record.html)?.[1] ?? '';
    expect((await desk.send(record, action)).status).toBe(303);
    expect((await shop.get(`/v1/tops/${topId}`)).body.lubrication).toEqual(before);
    expect(await lettersOf(shop, carId)).toEqual(['visit-report cancelled']);
    const pivots = (await shop.get(`/v1/tops/${topId}/pivots`)).body.items;
    expect(pivots.every(({ lastReading }: { lastReading: unknown }) => lastReading === null)).toBe(
      true,
    );
    const trail = wordsOf((await desk.open(`/cars/${carId}`)).html);
    expect(trail).toContain('reading removed');
    await shop.close();
  });

  it('is put right at a joint: whether the top may be moved changes at once, with its letters', async () => {
    const { shop, desk, topId, carId } = await openShop(open);
    const readings = [{ pivot: 'L-MAIN', state: 'sheared', oiled: false, axialPlayMm: 0.2 }];
    const visit = { kind: 'look', doneOn: '2026-06-11', readings, notes: 'left main' };
    const { body } = await shop.post(`/v1/tops/${topId}/visits`, visit);
    const move = async () => (await shop.get(`/v1/tops/${topId}`)).body.mayMove.verdict;
    expect(await move()).toBe('leave');
    expect(await lettersOf(shop, carId)).toEqual(['visit-report planned']);
    const action = `/visits/${body.id}/correct`;
    const form = await desk.open(action);
    expect(form.html).toContain('value="0.2"');
    const state = /name="(readings\/\d+\/state)"[^]*?<option value="sheared" selected>/.exec(
      form.html.slice(
        form.html.lastIndexOf('L-MAIN', form.html.indexOf('value="sheared" selected')),
      ),
    )?.[1];
    const asked = await desk.send(form, action, { [state ?? '']: 'stiff' });
    expect(wordsOf(asked.html)).toContain('Written anew: the report of a visit, to Ada Quill.');
    expect(await move()).toBe('leave');
    expect((await sure(desk, asked, action)).status).toBe(303);
    expect(await move()).not.toBe('leave');
    expect(await lettersOf(shop, carId)).toEqual([
      'visit-report cancelled',
      'visit-report planned',
    ]);
    const now = (await shop.get(`/v1/visits/${body.id}`)).body;
    expect(now).toMatchObject({ notes: 'left main', kind: 'look', version: 2 });
    expect(now.readings).toMatchObject([{ pivot: 'L-MAIN', state: 'stiff', axialPlayMm: 0.2 }]);
    const [entry] = (await shop.get(`/v1/trail?visitId=${body.id}`)).body.items;
    expect(entry).toMatchObject({ was: { state: 'sheared' }, becomes: { state: 'stiff' } });
    await shop.close();
  });

  it('loses a finding that was entered in error, and the top may be moved again', async () => {
    const { shop, desk, topId } = await openShop(open);
    const findings = [{ fault: 'frame-racks', pivot: 'L-MAIN', text: 'one side lags' }];
    const visit = { kind: 'look', doneOn: '2026-06-11', readings: [], findings };
    const { body } = await shop.post(`/v1/tops/${topId}/visits`, visit);
    const move = async () => (await shop.get(`/v1/tops/${topId}`)).body.mayMove.verdict;
    expect(await move()).toBe('leave');
    const action = `/visits/${body.id}/correct`;
    const form = await desk.open(action);
    expect(wordsOf(form.html)).toContain('A finding that was entered in error goes where');
    const none = { 'findings/0/fault': '', 'findings/0/pivot': '', 'findings/0/text': '' };
    const asked = await desk.send(form, action, none);
    await sure(desk, asked, action);
    expect((await shop.get(`/v1/visits/${body.id}`)).body.findings).toEqual([]);
    expect(await move()).toBe('free');
    await shop.close();
  });

  it('keeps the lubricant of each joint where only another joint is put right', async () => {
    const { shop, desk, topId } = await openShop(open);
    const done = await desk.send(await desk.open(`/tops/${topId}/visit`), `/tops/${topId}/visit`);
    const visitId = String(done.headers['location']).split('/')[2];
    const oils = async () =>
      (await shop.get(`/v1/visits/${visitId}`)).body.readings.map(
        ({ pivot, lubricant }: Record<string, string>) => `${pivot}: ${lubricant}`,
      );
    const before = await oils();
    // A latch wants grease and a stick dry film where the others want oil.
    expect(new Set(before.map((one: string) => one.split(': ')[1])).size).toBeGreaterThan(1);
    const action = `/visits/${visitId}/correct`;
    const form = await desk.open(action);
    const asked = await desk.send(form, action, { 'readings/0/state': 'stiff' });
    expect((await sure(desk, asked, action)).status).toBe(303);
    expect(await oils()).toEqual(before);
    await shop.close();
  });

  it('says that a report has left, and writes it anew where the visit was put right since', async () => {
    const { shop, desk, topId, carId } = await openShop(open);
    const form = await desk.open(`/tops/${topId}/visit`);
    const seized = { 'readings/0/state': 'seized' };
    const done = await desk.send(form, `/tops/${topId}/visit`, seized);
    const visitId = String(done.headers['location']).split('/')[2];
    await deliver(shop);
    expect(await lettersOf(shop, carId)).toEqual(['visit-report delivered']);
    // The undo right after it is no undo any more: somebody has read the report.
    const fresh = await desk.open(String(done.headers['location']));
    const withdraw = `/visits/${visitId}/withdraw`;
    const asked = await desk.send(fresh, withdraw);
    expect(wordsOf(asked.html)).toContain(
      'Its report left on Friday, 12 June 2026 to Ada Quill, who takes it for true.',
    );
    shop.setNow('2026-06-12T10:00:00.000Z');
    const correct = `/visits/${visitId}/correct`;
    const right = await desk.send(await desk.open(correct), correct, {
      'readings/0/state': 'free',
    });
    expect(right.status).toBe(303);
    const record = await desk.open(`/visits/${visitId}/record`);
    expect(wordsOf(record.html)).toContain('says what stood before. Write the report anew');
    const link = `href="/visits/${visitId}/record"`;
    const page = await desk.open(`/visits/${visitId}`);
    expect(page.html).toContain(link);
    expect(wordsOf(page.html)).toContain('12 June 2026');
    const anew = `/visits/${visitId}/report`;
    const sent = await desk.send(record, anew);
    expect(wordsOf(sent.html)).toContain('Will be sent: the report of a visit, to Ada Quill.');
    await sure(desk, sent, anew);
    const { items } = (await shop.get(`/v1/letters?carId=${carId}&state=planned`)).body;
    const texts = items.map(({ kind, text }: Record<string, string>) => [
      kind,
      text?.includes('takes the place of the one of Friday, 12 June 2026'),
    ]);
    expect(texts).toContainEqual(['visit-report', true]);
    // Put right once more before that one left, it is not sent, and one press writes the next.
    shop.setNow('2026-06-12T10:02:00.000Z');
    const once = await desk.send(await desk.open(correct), correct, { 'readings/0/state': 'dry' });
    await sure(desk, once, correct);
    const reports = async () =>
      (await lettersOf(shop, carId)).filter((one) => one.startsWith('visit-report'));
    expect(await reports()).toEqual(['visit-report delivered', 'visit-report cancelled']);
    // The day says so, and leads to where that is; with it the day has nothing more to say.
    const lost = 'It was withdrawn (the visit was put right) and not written again.';
    const day = await desk.open('/today');
    expect(wordsOf(day.html)).toContain(`FK 1: it was to take the place of the report that left`);
    expect(wordsOf(day.html)).toContain(lost);
    expect(day.html).toMatch(new RegExp(`${link}>Write the report anew`));
    const third = await desk.send(await desk.open(`/visits/${visitId}/record`), anew);
    await sure(desk, third, anew);
    expect(await reports()).toContain('visit-report planned');
    expect(wordsOf((await desk.open('/today')).html)).not.toContain('not written again');
    // So it does where what is found on another visit makes the words of the report untrue.
    shop.setNow('2026-06-12T10:03:00.000Z');
    const other = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      readings: [{ pivot: 'R-MAIN', state: 'seized', oiled: false }],
    });
    expect(other.status).toBe(201);
    const elsewhere = await desk.open('/today');
    expect(wordsOf(elsewhere.html)).toContain('It was withdrawn (what it tells of was changed)');
    expect(elsewhere.html).toMatch(new RegExp(`${link}>Write the report anew`));
    const fourth = await desk.send(await desk.open(`/visits/${visitId}/record`), anew);
    await sure(desk, fourth, anew);
    expect(wordsOf((await desk.open('/today')).html)).not.toContain('not written again');
    shop.setNow('2026-06-12T10:05:00.000Z');
    await deliver(shop);
    expect(wordsOf((await desk.open(`/visits/${visitId}/record`)).html)).not.toContain('anew');
    expect((await desk.send(record, anew)).status).toBe(409);
    await shop.close();
  });

  it('gives a booking back whose place it took', async () => {
    const { shop, topId } = await openShop(open);
    const path = `/v1/tops/${topId}/visits`;
    const booked = await shop.post(path, { kind: 'lubrication', plannedOn: '2026-06-24' });
    const done = await shop.post(path, { kind: 'lubrication', doneOn: '2026-06-12' });
    const state = async () => (await shop.get(`/v1/visits/${booked.body.id}`)).body.state;
    expect(await state()).toBe('cancelled');
    const withdraw = `/v1/visits/${done.body.id}/withdraw`;
    const gone = await shop.call('POST', withdraw, undefined, { 'if-match': '*' });
    expect(gone.body).toMatchObject({ state: 'cancelled', readings: [] });
    expect(await state()).toBe('booked');
    const again = await shop.call('POST', withdraw, undefined, { 'if-match': '*' });
    expect(again.status).toBe(409);
    await shop.close();
  });

  it('shows both versions to the second of two who change it', async () => {
    const { shop, desk, carId } = await openShop(open);
    const action = `/cars/${carId}/change`;
    const [first, second] = [await desk.open(action), await desk.open(action)];
    expect((await desk.send(first, action, { registration: 'FK 7', colour: 'green' })).status).toBe(
      303,
    );
    const back = await desk.send(second, action, { registration: 'FK 8' });
    expect(back.status).toBe(409);
    expect(wordsOf(back.html)).toContain('Stands here now: FK 7');
    expect(wordsOf(back.html)).toContain('Stands here now: green');
    expect(back.html).toContain('value="FK 8"');
    expect((await desk.send(back, action, { colour: 'green' })).status).toBe(303);
    const { body } = await shop.get(`/v1/cars/${carId}`);
    expect(body).toMatchObject({ registration: 'FK 8', colour: 'green', version: 3 });
    await shop.close();
  });

  it('tells a letter that the round writes anew from one that is not sent any more', async () => {
    const { shop, desk, topId, carId } = await openShop(open);
    await shop.post('/v1/round', {});
    expect(await lettersOf(shop, carId)).toContain('lubrication-due planned');
    const action = `/tops/${topId}/change`;
    const asked = await desk.send(await desk.open(action), action, { coverColour: 'green' });
    expect(wordsOf(asked.html)).toMatch(
      /Withdrawn, and written anew by the next round if it is still owed: .*, to Ada Quill\./,
    );
    await sure(desk, asked, action);
    await shop.post('/v1/round', {});
    expect(await lettersOf(shop, carId)).toContain('lubrication-due planned');
    const { lubrication } = (await shop.get(`/v1/tops/${topId}`)).body;
    const later = await desk.send(await desk.open(action), action, { fittedOn: '2026-03-10' });
    expect(lubrication.dueOn < '2026-07-01').toBe(true);
    expect(wordsOf(later.html)).toMatch(/Not sent any more: .*, to Ada Quill\./);
    await shop.close();
  });

  it('is asked about before a letter is touched, and nothing is done until it is said', async () => {
    const { shop, desk, topId, carId } = await openShop(open);
    const at = '2026-06-08T09:00:00.000Z';
    await shop.post(`/v1/cars/${carId}/position`, { position: 'folded', at });
    await shop.post('/v1/round', {});
    expect(await lettersOf(shop, carId)).toContain('folded-over planned');
    const action = `/cars/${carId}/change`;
    const asked = await desk.send(await desk.open(action), action, {
      'handbook/foldedLimitDays': '9',
    });
    expect(wordsOf(asked.html)).toContain('Not sent any more: the alarm that the limit is reached');
    expect((await shop.get(`/v1/cars/${carId}`)).body.handbook.foldedLimitDays).toBe(3);
    expect(await lettersOf(shop, carId)).toContain('folded-over planned');
    expect((await sure(desk, asked, action)).status).toBe(303);
    expect(await lettersOf(shop, carId)).toContain('folded-over cancelled');
    // Sent again as it was, it is answered as before and changes nothing.
    expect((await desk.send(asked, action)).status).toBe(303);
    expect((await shop.get(`/v1/cars/${carId}`)).body.version).toBe(2);
    expect(topId).not.toBe('');
    await shop.close();
  });

  it('is put right for a car that was sold: the buyer is written to, the seller no more', async () => {
    const { shop, desk, carId, ownerId } = await openShop(open);
    await shop.post('/v1/round', {});
    expect(await lettersOf(shop, carId)).toContain('lubrication-due planned');
    const action = `/cars/${carId}/sold`;
    const buyer = { 'owner/name': 'Bertram Example', 'owner/email': 'bertram@example.org' };
    const asked = await desk.send(await desk.open(`/cars/${carId}/change`), action, buyer);
    expect(wordsOf(asked.html)).toContain('FK 1 goes from Ada Quill to bertram@example.org.');
    await sure(desk, asked, action);
    for (const letter of await lettersOf(shop, carId)) expect(letter).toMatch(/ cancelled$/);
    const car = (await shop.get(`/v1/cars/${carId}`)).body;
    expect(car.ownerId).not.toBe(ownerId);
    await shop.post('/v1/round', {});
    const { items } = (await shop.get(`/v1/letters?carId=${carId}&state=planned`)).body;
    expect(items.length).toBeGreaterThan(0);
    for (const { to } of items) expect(to.address).toBe('bertram@example.org');
    await shop.close();
  });

  it('is as if never sold where a sale is taken back: the seller hears what was kept from her', async () => {
    const { shop, desk, topId, carId, ownerId } = await openShop(open);
    const visit = (
      await shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', plannedOn: '2026-06-23' })
    ).body;
    await deliver(shop);
    // Called off and, before word of it has left, given to the wrong owner.
    await callOff(shop, visit.id);
    expect(await lettersOf(shop, carId)).toEqual([
      'visit-booked delivered',
      'visit-called-off planned',
    ]);
    const sold = `/cars/${carId}/sold`;
    const buyer = { 'owner/name': 'Bertram Example', 'owner/email': 'bertram@example.org' };
    await sure(desk, await desk.send(await desk.open(`/cars/${carId}/change`), sold, buyer), sold);
    expect(await lettersOf(shop, carId)).not.toContain('visit-called-off planned');
    const page = await desk.open(`/cars/${carId}/change`);
    expect(wordsOf(page.html)).toContain('Until Friday, 12 June 2026 it was Ada Quill’s.');
    const back = `/cars/${carId}/sold/back`;
    const asked = await desk.send(page, back);
    expect(wordsOf(asked.html)).toContain('Will be sent: word that a visit is called off');
    await sure(desk, asked, back);
    expect((await shop.get(`/v1/cars/${carId}`)).body).toMatchObject({ ownerId });
    const { items } = (await shop.get(`/v1/letters?carId=${carId}&state=planned`)).body;
    expect(
      items.map(({ kind, to }: { kind: string; to: { name: string } }) => [kind, to.name]),
    ).toEqual([['visit-called-off', 'Ada Quill']]);
    // Whoever was written down by mistake is found to be erased.
    expect(wordsOf((await desk.open('/find?q=bertram')).html)).toContain(
      'Owners without a car Bertram Example',
    );
    await shop.close();
  });

  it('is put right for a top, and one recorded by mistake gives the car back its old one', async () => {
    const { shop, desk, topId, carId } = await openShop(open);
    const action = `/tops/${topId}/change`;
    const form = await desk.open(action);
    await desk.send(form, action, {
      coverName: 'Fictional double cloth',
      coverColour: 'navy',
      makersReference: 'X-17',
      'warranties/0/part': 'cover',
      'warranties/0/months': '24',
    });
    const top = (await shop.get(`/v1/tops/${topId}`)).body;
    expect(top).toMatchObject({
      coverName: 'Fictional double cloth',
      warranties: [{ part: 'cover', months: 24 }],
      version: 2,
    });
    expect(wordsOf((await desk.open(`/cars/${carId}`)).html)).toContain(
      'navy cloth (Fictional double cloth), glass window, folded by hand, frame “Four seats, folded by hand”, maker’s reference X-17',
    );
    const plan = async (plannedOn: string) =>
      (await shop.post(`/v1/tops/${topId}/visits`, { kind: 'lubrication', plannedOn })).body;
    const off = await plan('2026-06-22');
    await callOff(shop, off.id);
    const booked = await plan('2026-06-23');
    shop.setNow('2026-06-12T09:30:00.000Z');
    const fitting = {
      carId,
      fittedOn: '2026-06-01',
      framePattern: 'four-seat-powered',
      cover: { material: 'vinyl' },
      window: 'glass',
    };
    const wrong = (await shop.post('/v1/tops', fitting)).body;
    expect((await shop.get(`/v1/visits/${booked.id}`)).body.state).toBe('cancelled');
    const back = `/tops/${wrong.id}/withdraw`;
    const asked = await desk.send(await desk.open(`/tops/${wrong.id}/change`), back);
    await sure(desk, asked, back);
    // What was called off with the old top stands again; what was called off before does not.
    expect((await shop.get(`/v1/visits/${booked.id}`)).body.state).toBe('booked');
    expect((await shop.get(`/v1/visits/${off.id}`)).body.state).toBe('cancelled');
    const { items } = (await shop.get(`/v1/tops?carId=${carId}`)).body;
    expect(items).toEqual([{ ...top, version: expect.any(Number) }]);
    await shop.close();
  });

  it('is put right for a call, and an owner is erased after it was said what goes', async () => {
    const { shop, desk, carId, ownerId } = await openShop(open);
    await shop.post('/v1/calls', { carId, outcome: 'declined', notes: 'wants none' });
    const link = /href="(\/calls\/[\w-]+)"/.exec((await desk.open(`/cars/${carId}`)).html)?.[1];
    const action = link ?? '';
    await desk.send(await desk.open(action), action, { outcome: 'reached', notes: 'will think' });
    const car = wordsOf((await desk.open(`/cars/${carId}`)).html);
    expect(car).toContain('reached. will think');
    expect(car).toContain('wants none → will think');
    const taken = await desk.send(await desk.open(action), `${action}/withdraw`);
    await sure(desk, taken, `${action}/withdraw`);
    expect((await desk.open(`/cars/${carId}`)).html).not.toContain(`href="${action}"`);
    const erase = `/owners/${ownerId}/erase`;
    const asked = await desk.send(await desk.open(`/owners/${ownerId}`), erase);
    expect(wordsOf(asked.html)).toContain('Ada Quill, the addresses and the telephone number go');
    expect((await shop.get(`/v1/owners/${ownerId}`)).status).toBe(200);
    await sure(desk, asked, erase);
    expect((await shop.get(`/v1/owners/${ownerId}`)).status).toBe(404);
    await shop.close();
  });
});
