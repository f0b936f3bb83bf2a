import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SIGNS } from '../../src/domain/faults/signs.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { toldToMove } from '../may-move/movement-words.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
let talk: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  ids = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  talk = `/cars/${ids.carId}/fault-finding`;
});
afterEach(() => shop.close());

const visits = async () => (await shop.get(`/v1/tops/${ids.topId}/visits`)).body.items;
const partOf = async (part: string) =>
  (await shop.get('/v1/parts')).body.items.find((one: { part: string }) => one.part === part);
const verdict = async () => (await shop.get(`/v1/tops/${ids.topId}`)).body.mayMove.verdict;

describe('the talk', () => {
  it('needs no car: it asks, takes the answer, and names work once a cause is proven', async () => {
    const start = await desk.open('/fault-finding');
    expect(wordsOf(start.html)).toContain('What is seen?');
    const first = wordsOf((await desk.open('/fault-finding?side-edge-loose=yes')).html);
    expect(first).toContain('broken side cable');
    expect(first).toMatch(/Nothing is proven yet, and no cause stands clear/);
    expect(first).not.toContain('a new pair of cables');
    const asked = /name="([\w-]+)" value="yes">Yes/.exec(
      (await desk.open('/fault-finding?side-edge-loose=yes')).html,
    )?.[1];
    expect(asked).toBe('edge-arched-over-side-glass');
    const proven = await desk.open('/fault-finding?side-edge-loose=yes&cable-end-frayed=yes');
    expect(wordsOf(proven.html)).toMatch(/broken side cable, 1 h .*new pair of cables/);
    expect(proven.html).not.toContain('method="post" action="/fault-finding');
  });

  it('takes back a wrong tick by a link, and says where two cannot both be', async () => {
    const both = await desk.open('/fault-finding?cloth-stays-up=yes&fits-when-warm=yes');
    expect(wordsOf(both.html)).toContain('These two cannot both be');
    expect(both.html).toContain('href="/fault-finding?fits-when-warm=yes"');
    const one = await desk.open('/fault-finding?fits-when-warm=yes');
    expect(wordsOf(one.html)).not.toContain('These two cannot both be');
  });

  it('shows only what such a top can have, and keeps nothing of what is not a sign', async () => {
    const manual = await desk.open('/fault-finding?powered=no&ghosts=yes&window=door');
    expect(manual.html).not.toContain('Motor and hydraulics');
    expect(manual.html).not.toContain('ghosts');
    expect((await desk.open('/fault-finding')).html).toContain('Motor and hydraulics');
  });

  it('says what a check is held against, and what was read last on the car', async () => {
    await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-05-11',
      readings: [{ pivot: 'L-MAIN', state: 'free', oiled: false, washersPresent: 1 }],
    });
    const asked = '?gap-and-clack=yes&drops-at-one-point=no&one-side-drops=no';
    const page = await desk.open(`${talk}${asked}`);
    expect(page.html).toContain('name="washer-count-short" value="yes"');
    expect(wordsOf(page.html)).toContain('so does a gap of 1.6 mm, as wide as a washer');
    expect(wordsOf(page.html)).toContain('Last counted short: left main pivot 1 of 2');
    const without = wordsOf((await desk.open(`/fault-finding${asked}`)).html);
    expect(without).toContain('so does a gap of 1.6 mm');
    expect(without).not.toContain('Last counted');
  });

  it('has an answer to every sign alone', async () => {
    const failed: string[] = [];
    for (const { id } of SIGNS) {
      const { status, html } = await desk.open(`/fault-finding?${id}=yes`);
      if (status !== 200 || !wordsOf(html).includes('What it may be')) failed.push(id);
    }
    expect(failed).toEqual([]);
  });
});

describe('the work', () => {
  const proven =
    '?gap-and-clack=yes&washer-count-short=yes&tailgate=yes&paper-free-at-tailgate=yes';
  const take = async (changes: Record<string, string | null> = {}) =>
    desk.send(await desk.open(`${talk}${proven}`), `${talk}/work`, {
      'at/washers-missing/L-MAIN': 'yes',
      ...changes,
    });

  it('goes into the visit and onto the list of parts at one press', async () => {
    const done = await take({
      accepted: 'yes',
      'at/washers-missing/L-MAIN': 'yes',
      'at/washers-missing/R-LINK1': 'yes',
    });
    expect([done.status, done.headers.location]).toEqual([
      303,
      `/cars/${ids.carId}/work?done=plan`,
    ]);
    const [visit, ...more] = await visits();
    expect(more).toEqual([]);
    expect(visit).toMatchObject({ kind: 'look', state: 'done', doneOn: '2026-06-12' });
    const found = visit.findings.map(({ fault, pivot, outcome }: Record<string, string | null>) => [
      fault,
      pivot,
      outcome,
    ]);
    expect(found).toEqual([
      ['tailgate-seal-missing', null, 'accepted'],
      ['washers-missing', 'L-MAIN', 'accepted'],
      ['washers-missing', 'R-LINK1', 'accepted'],
    ]);
    expect(visit.notes).toContain('fewer washers than the pattern expects');
    expect(await verdict()).toBe('with-care');
    const { drivers } = await partOf('washer-pair');
    expect(drivers[0]).toMatchObject({ reason: 'ordered by the owner', places: 2 });
    expect(await partOf('tailgate-seal')).toMatchObject({ quantity: 1 });
    const page = wordsOf((await desk.open(`/cars/${ids.carId}/work?done=plan`)).html);
    expect(page).toMatch(
      /1\. missing tailgate seal, 1 h .* 2\. missing spacer washers, 1 h 30 min/,
    );
    expect(page).toContain('2 × spacer washers: on the list of parts; 0 in hand');
    expect((await shop.get('/v1/letters')).body.items).toEqual([]);
  });

  it('names the joint that it was found at, and asks for it where none is ticked', async () => {
    const refused = await take({ 'at/washers-missing/L-MAIN': null, accepted: 'yes' });
    expect(refused.status).toBe(400);
    expect(wordsOf(refused.html)).toContain(
      'Say at which joint it was found: missing spacer washers.',
    );
    expect(refused.html).toContain('href="#at-washers-missing"');
    expect(refused.html).toContain('id="at-washers-missing"');
    expect(refused.html).toMatch(/name="accepted" value="yes" checked/);
    expect(await visits()).toEqual([]);
  });

  it('is only advised unless the owner agreed, and orders nothing then', async () => {
    await take();
    const [visit] = await visits();
    expect(visit.findings.map(({ outcome }: { outcome: string }) => outcome)).toEqual([
      'advised',
      'advised',
    ]);
    expect(await partOf('tailgate-seal')).toMatchObject({ quantity: 0 });
  });

  it('writes the owner a report only if asked to', async () => {
    await take({ tell: 'yes' });
    const { items } = (await shop.get('/v1/letters')).body;
    expect(items.map(({ kind }: { kind: string }) => kind)).toEqual(['visit-report']);
  });

  it('is taken back whole, with its parts and what it said of moving the top', async () => {
    await take({ accepted: 'yes', 'at/washers-missing/L-MAIN': 'yes' });
    const [{ id }] = await visits();
    const page = await desk.open(`/cars/${ids.carId}/work`);
    const undo = `/cars/${ids.carId}/work/${id}/take-back`;
    expect((await desk.send(page, undo)).headers.location).toContain('done=taken-back');
    const [visit] = await visits();
    expect(visit).toMatchObject({ state: 'cancelled', findings: [] });
    expect(await verdict()).toBe('free');
    expect(await partOf('tailgate-seal')).toMatchObject({ quantity: 0 });
    expect(wordsOf((await desk.open(`/cars/${ids.carId}/work`)).html)).toContain(
      'No work is open on this car.',
    );
  });

  it('says that none is noted yet where the frame alone keeps the top from moving', async () => {
    const swung = { kind: 'look', doneOn: '2026-06-08', swayMm: 60 };
    expect((await shop.post(`/v1/tops/${ids.topId}/visits`, swung)).status).toBe(201);
    expect(await verdict()).toBe('leave');
    const words = wordsOf((await desk.open(`/cars/${ids.carId}/work`)).html);
    expect(words).toContain('No work is noted for this yet.');
    expect(words).not.toContain('No work is open');
  });

  it('is said to be done, agreed or declined piece by piece, and then not taken back whole', async () => {
    await take();
    const [{ id, findings }] = await visits();
    const one = `/cars/${ids.carId}/work/${findings[0].id}`;
    const page = await desk.open(`/cars/${ids.carId}/work`);
    expect((await desk.send(page, one, { outcome: 'done' })).status).toBe(303);
    const after = await desk.open(`/cars/${ids.carId}/work`);
    expect(wordsOf(after.html)).not.toContain('missing tailgate seal,');
    const refused = await desk.send(after, `/cars/${ids.carId}/work/${id}/take-back`);
    expect(refused.status).toBe(409);
    expect(wordsOf(refused.html)).toContain('some of it was decided since');
    expect((await visits())[0].findings).toHaveLength(2);
  });

  it('takes only what is left ticked, and nothing that is not proven or clear', async () => {
    const done = await take({ 'take/washers-missing': null });
    expect(done.status).toBe(303);
    expect((await visits())[0].findings).toHaveLength(1);
    const refused = await desk.post(`${talk}/work`, {
      once: 'a-fresh-name-of-mine',
      'side-edge-loose': 'yes',
      'take/tension-cable-broken': 'yes',
    });
    expect(refused.status).toBe(400);
    expect(wordsOf(refused.html)).toContain('is not proven and does not stand clear');
    expect(await visits()).toHaveLength(1);
  });

  it('is recorded once, however often it is pressed', async () => {
    const page = await desk.open(`${talk}${proven}`);
    await desk.send(page, `${talk}/work`, { 'at/washers-missing/L-MAIN': 'yes' });
    await desk.send(page, `${talk}/work`, { 'at/washers-missing/L-MAIN': 'yes' });
    expect(await visits()).toHaveLength(1);
  });

  it('names what a new cover brings with it, and records it with the car all the same', async () => {
    const both = '?cloth-stays-up=yes&thread-breaks=yes';
    const page = await desk.open(`${talk}${both}`);
    expect(wordsOf(page.html)).toContain('Cures besides: rotted stitching.');
    await desk.send(page, `${talk}/work`, { accepted: 'yes' });
    const [visit] = await visits();
    const said = visit.findings.map(
      ({ fault, outcome }: Record<string, string>) => `${fault} ${outcome}`,
    );
    expect(said).toEqual(['cover-shrunk accepted', 'stitches-rotted advised']);
    expect(await partOf('cover')).toMatchObject({ quantity: 1 });
  });
});

describe('a private owner’s own car', () => {
  it('has work to note, with nobody to ask, to write to, to order for or to send an estimate', async () => {
    const { key } = await makeKey(shop.context, { name: 'Mine', kind: 'private' }, 'full');
    shop.key = key;
    const own = await openDesk(shop, key);
    const mine = await fitted(shop, { car: { registration: 'MINE 1' } });
    const at = `/cars/${mine.carId}/fault-finding`;
    const page = await own.open(`${at}?tailgate=yes&paper-free-at-tailgate=yes`);
    expect(wordsOf(page.html)).toContain('Note it with the car');
    const done = await own.send(page, `${at}/work`);
    expect(done.headers.location).toBe(`/cars/${mine.carId}/work?done=plan`);
    const work = wordsOf((await own.open(`/cars/${mine.carId}/work`)).html);
    expect(work).toContain('To be done');
    for (const words of [wordsOf(page.html), work]) {
      expect(words).not.toMatch(/the owner|at the bench|in hand|Make an estimate|your prices/i);
    }
  });
});

describe('a car whose top must stay', () => {
  beforeEach(async () => {
    await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-11',
      readings: [{ pivot: 'R-MAIN', state: 'seized', oiled: false }],
    });
  });

  it('says so first and asks for nothing that moves it, whatever is ticked', async () => {
    const told: string[] = [];
    for (const { id } of SIGNS) {
      const { html } = await desk.open(`${talk}?${id}=yes`);
      const [, next = ''] = /id="next">(.*?)<\/section>/s.exec(html) ?? [];
      const [, work = ''] = /id="work">(.*?)<\/section>/s.exec(html) ?? [];
      const asked = /<button [^>]*name="([\w-]+)" value="yes"/.exec(next)?.[1];
      const moves = SIGNS.some((sign) => sign.id === asked && sign.moves === true);
      const first = html.includes('Do not move the top of');
      if (!first || moves || toldToMove(`${next} ${work}`).length > 0) told.push(id);
    }
    expect(told).toEqual([]);
  });

  it('has the work that its readings ask for, and no press that would end it', async () => {
    const { html } = await desk.open(`/cars/${ids.carId}/work`);
    expect(wordsOf(html)).toMatch(
      /1\. seized pivot, 3 h .* right main pivot: read so on .* it ends with the repair/,
    );
    expect(html).not.toContain('value="done"');
    expect((await shop.get(`/v1/cars/${ids.carId}/work`)).body).toMatchObject({
      findings: [],
      read: [{ fault: 'pivot-seized', pivot: 'R-MAIN', on: '2026-06-11' }],
      plan: { hours: 3, parts: [{ part: 'main-set', quantity: 1 }] },
    });
  });

  it('keeps work that ends with moving it for later', async () => {
    const { html } = await desk.open(`${talk}?fits-when-warm=yes&half-litre-stands=yes`);
    expect(wordsOf(html)).toContain(
      'Waits until the top may be moved again: cover drawn back by cold.',
    );
    expect(html).not.toContain('name="take/cold-shrink-back"');
  });

  it('is left at once where the talk finds a joint that forbids moving it', async () => {
    await shop.post(`/v1/tops/${ids.topId}/visits`, { kind: 'repair', doneOn: '2026-06-11' });
    expect(await verdict()).toBe('free');
    const page = await desk.open(`${talk}?one-side-drops=yes&pin-or-bolt-broken=yes`);
    expect(wordsOf(page.html)).toContain('Leave it as it stands');
    await desk.send(page, `${talk}/work`, { 'at/pivot-sheared/L-MAIN': 'yes' });
    expect(await verdict()).toBe('leave');
  });
});

describe('who may', () => {
  it('find faults with a key that only reads, but put nothing into a visit', async () => {
    const reader = await openDesk(
      shop,
      await shop.keyFor('Larkmoor', 'read').catch(() => shop.key),
    );
    expect((await reader.open('/fault-finding?dry-crumbs=yes')).status).toBe(200);
  });

  it('see the car of another organisation in no page', async () => {
    const other = await openDesk(shop, await shop.keyFor('Another Club'));
    for (const page of [talk, `/cars/${ids.carId}/work`]) {
      expect((await other.open(page)).status).toBe(404);
    }
  });
});
