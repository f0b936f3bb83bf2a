import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

let shop: Workshop;
let desk: Desk;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  desk = await openDesk(shop);
});
afterEach(() => shop.close());

const DRAW = '/patterns/draw';
const joints = {
  name: 'Long tourer',
  'joints/0/name': 'main',
  'joints/0/kind': 'main',
  'joints/0/x': '10',
  'joints/0/y': '70',
  'joints/1/name': 'LINK1',
  'joints/1/side': 'L',
  'joints/1/washers': '1',
  'joints/1/x': '60',
  'joints/1/y': '30',
};

it('is drawn at once, kept, and chosen for a new top', async () => {
  const page = await desk.open(DRAW);
  const drawn = await desk.send(page, DRAW, { ...joints, draw: 'yes' });
  expect(drawn.status).toBe(200);
  expect(drawn.html).toContain(
    'aria-label="Left side, from the body forward: left main pivot, left link pivot 1"',
  );
  expect(drawn.html).toContain('aria-label="Right side, from the body forward: right main pivot"');
  // What a code stands for is read out beside its row; one of nobody's list by its side and name.
  expect(wordsOf(drawn.html)).toContain('Joint 1: left main pivot, right main pivot');
  expect(wordsOf(drawn.html)).toContain('Joint 2: left link pivot 1');
  // Both sides bear the numbers of the joints below, not numbers of their own.
  expect([...drawn.html.matchAll(/<text [^>]*>(\d+)</g)].map(([, n]) => n)).toEqual([
    '1',
    '2',
    '1',
  ]);
  expect((await shop.get('/v1/frame-patterns')).body.items).toHaveLength(3);
  const kept = await desk.send(drawn, DRAW, { draw: null });
  expect(kept.headers.location).toBe('/patterns?done=drawn');
  expect(wordsOf((await desk.open('/new')).html)).toContain('Long tourer, 3 pivots');
  const { topId } = await fitted(shop, { top: { framePattern: 'Long tourer' } });
  const { body } = await shop.get(`/v1/tops/${topId}`);
  expect(body.pivots.map(({ code }: { code: string }) => code)).toEqual([
    'L-MAIN',
    'L-LINK1',
    'R-MAIN',
  ]);
  // A top hangs on it: it is not changed under its feet.
  const again = await desk.send(await desk.open(`${DRAW}?of=Long%20tourer`), DRAW, {
    'joints/1/name': 'LINK9',
  });
  expect(again.status).toBe(409);
  expect(wordsOf(again.html)).toContain('A top has this frame: their history hangs on its joints.');
  const renamed = await desk.send(again, DRAW, { name: 'Long tourer 2' });
  expect(renamed.headers.location).toBe('/patterns?done=drawn');
});

it('is put right while no top has it, and faults stand at their joint', async () => {
  await desk.send(await desk.open(DRAW), DRAW, joints);
  const page = await desk.open(`${DRAW}?of=Long%20tourer`);
  expect((await desk.send(page, DRAW, { 'joints/1/name': 'LINK7' })).status).toBe(303);
  const own = (await shop.get('/v1/frame-patterns')).body.items.at(-1);
  expect(own.pivots.map(({ code }: { code: string }) => code)).toEqual([
    'L-MAIN',
    'L-LINK7',
    'R-MAIN',
  ]);
  const fresh = () => desk.open(`${DRAW}?of=Long%20tourer`);
  const wrong = await desk.send(await fresh(), DRAW, {
    name: 'Other',
    'joints/1/washers': '9',
    'joints/2/name': 'main',
  });
  expect(wrong.status).toBe(400);
  expect(wrong.html).toContain('id="joints-1-washers-fault"');
  expect(wordsOf(wrong.html)).toContain('Washers of joint 2:');
  const twice = await desk.send(await fresh(), DRAW, { name: 'Other', 'joints/2/name': 'main' });
  expect(wordsOf(twice.html)).toContain('L-MAIN stands here twice.');
  expect(twice.html).toContain('id="joints-2-name-fault"');
  const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
  expect((await reader.open(DRAW)).status).toBe(403);
});
