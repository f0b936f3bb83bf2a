import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDesk, wordsOf } from '../pages/desk.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
let ids: CarAndTop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ids = await fitted(shop, { top: { fittedOn: '2025-06-10', window: 'glass-bonded' } });
});
afterEach(() => shop.close());

const find = async (fault: string) => {
  const { status, body } = await shop.post(`/v1/tops/${ids.topId}/visits`, {
    kind: 'look',
    doneOn: '2026-06-10',
    findings: [{ fault, text: 'Seen at the bench.' }],
  });
  expect(status).toBe(201);
  return body;
};
const topNow = async (topId: string) => (await shop.get(`/v1/tops/${topId}`)).body;
const frameOf = async (topId: string) => (await shop.get(`/v1/tops/${topId}/pivots`)).body.frame;
/** A new cover on the same frame. */
const recovered = async () => {
  const { status, body } = await shop.post('/v1/tops', {
    carId: ids.carId,
    fittedOn: '2026-06-11',
    cover: { material: 'cloth' },
    window: 'glass',
    framePattern: 'two-seat-manual',
  });
  expect(status).toBe(201);
  return body.id;
};

it('a visit can record that one side lags, and the frame is judged by it until it is mended', async () => {
  const desk = await openDesk(shop);
  const form = await desk.open(`/tops/${ids.topId}/visit`);
  expect(form.html).toMatch(/<option value="frame-racks"[^>]*>one side lags</);
  const visit = await find('frame-racks');
  expect(await frameOf(ids.topId)).toMatchObject({
    verdict: 'act',
    because: ['one side lags on 2026-06-10: act'],
  });
  expect((await topNow(ids.topId)).mayMove.verdict).toBe('leave');
  const page = wordsOf((await desk.open(`/tops/${ids.topId}`)).html);
  expect(page).toContain('one side of the frame lags behind the other');
  const decided = await shop.call(
    'PATCH',
    `/v1/visits/${visit.id}/findings/${visit.findings[0].id}`,
    { outcome: 'done' },
    { 'if-match': `"v${visit.version}"` },
  );
  expect(decided.status).toBe(200);
  expect((await topNow(ids.topId)).mayMove.verdict).toBe('free');
  expect((await frameOf(ids.topId)).verdict).toBeNull();
});

it('that one side lags stays with the frame under a new cover; a pane that lifts goes with the old', async () => {
  await find('frame-racks');
  await find('bonded-glass-lifting');
  const { mayMove } = await topNow(ids.topId);
  expect(mayMove.verdict).toBe('leave');
  expect(mayMove.reasons.map(({ fault }: { fault: string }) => fault).sort()).toEqual([
    'bonded-glass-lifting',
    'frame-racks',
  ]);
  const after = (await topNow(await recovered())).mayMove;
  expect(after.reasons.map(({ fault }: { fault: string }) => fault)).toEqual(['frame-racks']);
});

it('a pane that lifts heads the day until its repair is booked, and nothing asks to move it', async () => {
  await find('bonded-glass-lifting');
  const desk = await openDesk(shop);
  const today = wordsOf((await desk.open('/today')).html);
  expect(today).toContain('The glued rear window is coming away and can fall');
  const car = wordsOf((await desk.open(`/cars/${ids.carId}`)).html);
  expect(car).toContain('Please leave the top as it is');
});
