import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDesk, wordsOf } from '../pages/desk.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { asClub, members } from './club.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  await asClub(shop);
});
afterEach(() => shop.close());

it('shows members with the month in which each car is due, and finds them', async () => {
  await members(shop, 3);
  const desk = await openDesk(shop);
  const page = wordsOf((await desk.open('/members')).html);
  expect(page).toContain('3 members.');
  expect(page).toMatch(/Member Number-1 CLUB 1 due March 2026 all letters; shares nothing further/);
  expect(wordsOf((await desk.open('/members?q=number-2')).html)).toContain('1 of 3 members.');
  expect(wordsOf((await desk.open('/members?month=2026-03')).html)).toContain('3 of 3 members');
  expect(wordsOf((await desk.open('/members?month=2026-04')).html)).toContain('Nobody found');
  const other = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops'));
  expect((await other.open('/members')).html).not.toContain('Number-1');
});

it('takes a member in on the page of new cars, and lets one go who leaves', async () => {
  const [one] = await members(shop, 1);
  const desk = await openDesk(shop);
  expect((await desk.open('/members')).html).toContain('href="/new"');
  const page = await desk.open(`/owners/${one?.ownerId ?? ''}`);
  const path = `/owners/${one?.ownerId ?? ''}/erase`;
  const sure = await desk.send(page, path);
  await desk.send(sure, path);
  const none = await desk.open('/members');
  expect(wordsOf(none.html)).toContain('0 members');
  // Nobody there at all: what helps is a list, not fewer letters.
  expect(wordsOf(none.html)).toContain('No member is on record yet. Bring your list of members');
  expect(none.html).toContain('href="/import"');
  expect(wordsOf((await desk.open('/members?q=zz')).html)).toContain('Nobody found');
});

it('says the faults of a pattern without a name, and nothing under five cars', async () => {
  const all = await members(shop, 5);
  const desk = await openDesk(shop);
  for (const [i, { topId }] of all.entries()) {
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-01',
      readings: [{ pivot: 'L-MAIN', state: i < 3 ? 'stiff' : 'free', oiled: true }],
    });
    const words = wordsOf((await desk.open('/pattern-faults')).html);
    expect(words).not.toMatch(/Number-|CLUB \d/);
    expect(words).toContain(
      i < 4 ? 'too few to say anything' : 'main joint: stiff 3 of 5 cars; too few for a share',
    );
  }
});
