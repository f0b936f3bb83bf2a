import { lubricantFor } from '../../src/domain/pivots/lubricants.ts';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';
import { wholeDatabase } from './link-for.ts';

let shop: Workshop;
let desk: Desk;
let ids: CarAndTop;
let path: string;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
  ids = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
  path = `/tops/${ids.topId}/visit`;
});
afterEach(() => shop.close());

const visits = async () => (await shop.get(`/v1/tops/${ids.topId}/visits`)).body.items;

describe('recording a visit', () => {
  it('takes an oiling without news in one press', async () => {
    const done = await desk.send(await desk.open(path), path);
    expect([done.status, done.headers.location]).toEqual([
      303,
      expect.stringMatching(/^\/visits\/[\w-]+\/record\?done=visit$/),
    ]);
    const [visit, ...more] = await visits();
    expect(more).toEqual([]);
    expect(visit).toMatchObject({ kind: 'lubrication', doneOn: '2026-06-12', state: 'done' });
    expect(visit.readings).toHaveLength(18);
    const { pivots, lubrication } = (await shop.get(`/v1/tops/${ids.topId}`)).body;
    for (const [i, reading] of visit.readings.entries()) {
      const { code: pivot, washersExpected } = pivots[i];
      expect(reading).toMatchObject({ pivot, state: 'free', oiled: true, repaired: false });
      expect(reading.washersPresent).toBe(washersExpected === 0 ? null : washersExpected);
      // Each joint is noted with what is proposed for it; common practice, no source.
      expect(reading.lubricant).toBe(lubricantFor(pivots[i]).name);
    }
    expect(lubrication.lastOn).toBe('2026-06-12');
    const top = wordsOf((await desk.open(`/tops/${ids.topId}`)).html);
    // What nobody measured is not told as no play.
    expect(top).toContain('not measured not measured');
    expect(top).toContain('play not measured: measure it within');
    expect(wordsOf((await desk.open(String(done.headers.location))).html)).toContain(
      'The visit is recorded.',
    );
  });

  it('asks once about a play that is likelier a slip of the point, and keeps what was typed', async () => {
    const typed = { 'readings/1/axialPlayMm': '38', notes: 'The left one squeaks.' };
    const again = await desk.send(await desk.open(path), path, typed);
    expect(again.status).toBe(400);
    expect(wordsOf(again.html)).toContain('38 mm of play is more than any joint shows');
    expect(fieldsIn(again.html, path)).toMatchObject({ 'readings/1/axialPlayMm': '38' });
    expect(again.html).toContain(typed.notes);
    expect(await visits()).toEqual([]);
    const right = await desk.send(again, path, { ...typed, 'readings/1/axialPlayMm': '0.38' });
    expect(right.status).toBe(303);
    const [slip] = await visits();
    expect(slip.readings[1].axialPlayMm).toBe(0.38);
    // What was measured so is taken, at a booking's form and at a correction too.
    const correct = `/visits/${slip.id}/correct`;
    const wrong = await desk.send(await desk.open(correct), correct, {
      'readings/1/axialPlayMm': '38',
    });
    expect(wrong.status).toBe(400);
    const sure = await desk.send(wrong, correct, { surely: 'yes' });
    const done = sure.status === 303 ? sure : await desk.send(sure, correct);
    expect(done.status).toBe(303);
    expect((await visits())[0].readings[1].axialPlayMm).toBe(38);
  });

  it('takes all that can be said: readings, measures, findings, notes', async () => {
    const page = await desk.open(path);
    expect(page.html.indexOf('value="L-MAIN"')).toBeLessThan(page.html.indexOf('value="R-MAIN"'));
    const done = await desk.send(page, path, {
      doneOn: '2026-06-11',
      minutes: '95',
      lubricant: 'light machine oil',
      'readings/0/state': 'stiff',
      'readings/0/oil': 'no',
      'readings/1/state': 'loose',
      'readings/1/washersPresent': '1',
      'readings/1/axialPlayMm': '0,35',
      'readings/1/repaired': 'yes',
      'readings/2/radialPlayMm': '0.2',
      'readings/2/washersPresent': 'not-counted',
      swayMm: '6',
      'diagonalsMm/left': '1402',
      'diagonalsMm/right': '1405,5',
      breakawayN: '48',
      'findings/0/fault': 'pivot-stiff',
      'findings/0/pivot': 'L-MAIN',
      'findings/0/outcome': 'accepted',
      'findings/1/text': 'A seam opens.\r\nAt the left.',
      'findings/1/advised': 'Sew it.',
      notes: 'Tür „klemmt“.',
    });
    expect(done.status).toBe(303);
    const [visit] = await visits();
    expect(visit).toMatchObject({
      doneOn: '2026-06-11',
      minutes: 95,
      swayMm: 6,
      diagonalsMm: { left: 1402, right: 1405.5 },
      breakawayN: 48,
      notes: 'Tür „klemmt“.',
    });
    const [main, link, third] = visit.readings;
    expect(main).toMatchObject({ state: 'stiff', oiled: false, lubricant: null });
    expect(link).toMatchObject({
      state: 'loose',
      oiled: true,
      repaired: true,
      lubricant: 'light machine oil',
      washersPresent: 1,
      axialPlayMm: 0.35,
    });
    expect(third).toMatchObject({ state: 'free', radialPlayMm: 0.2, washersPresent: null });
    expect(visit.findings).toMatchObject([
      { fault: 'pivot-stiff', pivot: 'L-MAIN', text: 'stiff pivot', outcome: 'accepted' },
      { fault: null, text: 'A seam opens.\nAt the left.', advised: 'Sew it.', outcome: 'advised' },
    ]);
    // The next form proposes what was used, and unfolds the joint that needs a look.
    const next = (await desk.open(path)).html;
    expect(fieldsIn(next, path)['lubricant']).toBe('');
    expect(fieldsIn(next, path)['readings/1/lubricant']).toBe('light machine oil');
    expect(next).toMatch(/<details open>\s*<summary><span class="word">1 left main pivot/);
  });

  it('records only the pivots of which something was said, where the others were not looked at', async () => {
    const page = await desk.open(`${path}?kind=look`);
    expect(fieldsIn(page.html, path)).toMatchObject({ kind: 'look', others: 'none' });
    const done = await desk.send(page, path, {
      'readings/4/state': 'dry',
      'readings/4/oil': 'yes',
    });
    expect(done.status).toBe(303);
    const [visit] = await visits();
    expect(visit.readings).toHaveLength(1);
    expect(visit.readings[0]).toMatchObject({ state: 'dry', oiled: true });
  });

  it.each(['look', 'repair', 'settling'])(
    'asks what was done at the pivots where a form for an oiling is sent as %s',
    async (kind) => {
      const typed = { kind, notes: 'Rattles.', 'readings/4/state': 'dry', 'readings/4/oil': 'no' };
      const asked = await desk.send(await desk.open(path), path, typed);
      expect(asked.status).toBe(400);
      expect(wordsOf(asked.html)).toContain('stood here before you chose this kind of visit');
      expect(await visits()).toEqual([]);
      const again = fieldsIn(asked.html, path);
      expect(again).toMatchObject(typed);
      expect(again).not.toHaveProperty('others');
      // Sent without a word it is asked again, and more room for faults is no word either.
      expect((await desk.send(asked, path)).status).toBe(400);
      const more = await desk.send(asked, path, { more: 'yes' });
      expect(fieldsIn(more.html, path)).not.toHaveProperty('others');
      expect((await desk.send(more, path)).status).toBe(400);
      expect(await visits()).toEqual([]);
      const done = await desk.send(more, path, { others: 'none' });
      expect(done.status).toBe(303);
      const [visit] = await visits();
      expect(visit).toMatchObject({ kind, notes: 'Rattles.' });
      expect(visit.readings).toMatchObject([{ state: 'dry', oiled: false }]);
    },
  );

  it('takes a word that was pressed, and asks as well where a look is sent as an oiling', async () => {
    const open = async () => desk.open(path);
    const pressed = await desk.send(await open(), path, { kind: 'look', others: 'looked' });
    expect(pressed.status).toBe(303);
    const asked = await desk.send(await open(), path, { kind: 'repair' });
    const all = await desk.send(asked, path, { others: 'oiled' });
    expect(all.status).toBe(303);
    const look = await desk.send(await desk.open(`${path}?kind=look`), path, {
      kind: 'lubrication',
    });
    expect(look.status).toBe(400);
    expect(fieldsIn(look.html, path)).not.toHaveProperty('others');
    expect((await desk.send(look, path, { others: 'oiled' })).status).toBe(303);
    const recorded: { kind: string; readings: { oiled: boolean }[] }[] = await visits();
    const told = recorded.map((one) => {
      const count = one.readings.filter(({ oiled }) => oiled).length;
      return `${one.kind} ${count}`;
    });
    expect(told.toSorted()).toEqual(['look 0', 'lubrication 18', 'repair 18']);
  });

  it('shows what is wrong beside the field and keeps what was typed', async () => {
    const before = await wholeDatabase(shop);
    const answer = await desk.send(await desk.open(`${path}?kind=repair`), path, {
      doneOn: '2026-06-13',
      minutes: 'two hours',
      'readings/3/axialPlayMm': '0.2',
      'readings/5/state': 'dry',
      'readings/5/radialPlayMm': '-1',
      'findings/1/advised': 'Sew <it>.',
      notes: 'Line "one"\nLine two',
    });
    expect(answer.status).toBe(400);
    const wrong = (name: string) =>
      wordsOf(
        new RegExp(`id="${name.replaceAll('/', '-')}-fault">(.*?)</p>`, 's').exec(
          answer.html,
        )?.[1] ?? '',
      );
    expect(wrong('minutes')).toContain('Give a number here.');
    expect(wrong('readings/3/state')).toContain('Choose one of the list.');
    expect(wrong('readings/5/radialPlayMm')).toContain('A measure in mm cannot be negative.');
    expect(wrong('findings/1/text')).toContain('Fill this in.');
    expect(answer.html).toContain('href="#readings-5-radialPlayMm"');
    const summary = wordsOf(/role="alert"[^>]*>(.*?)<\/div>/s.exec(answer.html)?.[1] ?? '');
    expect(summary).toContain('Minutes it took: Give a number here.');
    expect(summary).toContain('left stick pivot 2, radial play, mm: A measure');
    expect(summary).toContain('Fault 2, what was seen: Fill this in.');
    expect(answer.html).toMatch(/<details open>\s*<summary><span class="word">4 /);
    expect(fieldsIn(answer.html, path)).toMatchObject({
      kind: 'repair',
      doneOn: '13 Jun 2026',
      minutes: 'two hours',
      'readings/3/axialPlayMm': '0.2',
      'readings/5/radialPlayMm': '-1',
      'findings/1/advised': 'Sew <it>.',
      notes: 'Line "one"\nLine two',
    });
    expect(await visits()).toEqual([]);

    // What only the deed can know comes back to its field too.
    const later = await desk.send(answer, path, {
      minutes: '120',
      'readings/3/state': 'free',
      'readings/5/radialPlayMm': '1',
      'findings/1/text': 'A seam opens.',
    });
    expect(later.status).toBe(400);
    expect(wordsOf(later.html)).toContain('still to come. For a visit to come, book it instead.');
    expect(later.html).not.toContain('plannedOn');
    expect(await wholeDatabase(shop)).toBe(before);
    const done = await desk.send(later, path, { doneOn: '2026-06-12' });
    expect(done.status).toBe(303);
    expect(await visits()).toHaveLength(1);
  });

  it('is done once, however often it is sent', async () => {
    const page = await desk.open(path);
    const [first, second] = await Promise.all([desk.send(page, path), desk.send(page, path)]);
    const reload = await desk.send(page, path);
    for (const answer of [first, second, reload]) {
      expect([answer.status, answer.headers.location]).toEqual([303, first.headers.location]);
    }
    expect(await visits()).toHaveLength(1);
    // Stepping back and sending something else is asked about, not swallowed.
    const other = await desk.send(page, path, { notes: 'And the latch.' });
    expect(other.status).toBe(409);
    expect(wordsOf(other.html)).toContain('recorded once already');
    expect(fieldsIn(other.html, path)['notes']).toBe('And the latch.');
    expect(await visits()).toHaveLength(1);
    expect((await desk.send(other, path)).status).toBe(303);
    expect(await visits()).toHaveLength(2);
    const nameless = await desk.send(page, path, { once: null });
    expect(nameless.status).toBe(400);
    expect(await visits()).toHaveLength(2);
  });

  it('gives more room for faults without recording or losing anything', async () => {
    const more = await desk.send(await desk.open(path), path, {
      more: 'yes',
      'findings/1/text': 'A seam opens.',
      doneOn: '2026-06-01',
    });
    expect(more.status).toBe(200);
    const fields = fieldsIn(more.html, path);
    expect(fields).toMatchObject({ 'findings/1/text': 'A seam opens.', doneOn: '1 Jun 2026' });
    expect(fields['findings']).toBe('5');
    expect(await visits()).toEqual([]);
    const done = await desk.send(more, path, { 'findings/4/text': 'A second one.' });
    expect(done.status).toBe(303);
    expect((await visits())[0].findings.map(({ text }: { text: string }) => text)).toEqual([
      'A seam opens.',
      'A second one.',
    ]);
  });

  it('is for the shop’s own tops, a key that may record, and its own pages', async () => {
    const fields = fieldsIn((await desk.open(path)).html, path);
    const stranger = await openDesk(shop, await shop.keyFor('Another Club'));
    expect((await stranger.open(path)).status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    const stood = await wholeDatabase(shop);
    expect((await reader.open(path)).status).toBe(403);
    expect((await reader.post(path, fields)).status).toBe(403);
    const top = (await reader.open(`/tops/${ids.topId}`)).html;
    expect(top).not.toContain(path);
    const foreign = { 'sec-fetch-site': 'cross-site' };
    expect((await desk.post(path, fields, foreign)).status).toBe(403);
    const away = { 'sec-fetch-site': '', origin: 'https://bad.example.net' };
    expect((await desk.post(path, fields, away)).status).toBe(403);
    const out = await desk.post(path, fields, { cookie: '' });
    expect(out.status).toBe(401);
    expect(wordsOf(out.html)).toContain('signed out');
    // What was typed is on that page, to be sent after a sign-in in another window.
    expect(fieldsIn(out.html, path)).toEqual(fields);
    expect(await wholeDatabase(shop)).toBe(stood);
    expect((await stranger.post(path, fields)).status).toBe(404);
    expect(await visits()).toEqual([]);
  });
});
