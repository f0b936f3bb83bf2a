import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { openDesk, wordsOf } from './desk.ts';
import { browse, linkFor } from './link-for.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

const own = (figures: object) =>
  shop.call('PATCH', '/v1/rules/figures', figures, { 'if-match': '*' });

it.each([
  ['2026-05-01', 8, 'shop rule: vinyl cover or plastic window'],
  ['2019-05-01', 13, 'shop rule: aged plastic window'],
])(
  "a top fitted on %s is as cold as the shop's own figure on its owner's page and the shop's",
  async (fittedOn, celsius, because) => {
    expect((await own({ 'foldFloor.plastic': 8, 'foldFloor.oldPlasticWindow': 13 })).status).toBe(
      200,
    );
    const ids = await fitted(shop, { top: { fittedOn, window: 'clear-vinyl' } });
    const desk = await openDesk(shop);
    const page = wordsOf((await desk.open(`/cars/${ids.carId}`)).html);
    expect(page).toContain(`not under ${celsius} °C (${because})`);
    const owners = await browse(shop, 'GET', await linkFor(shop, ids.ownerId, 'owner-page'));
    expect(owners.status).toBe(200);
    expect(wordsOf(owners.html)).toContain(`${celsius} °C`);
  },
);

it.each([
  ['cloth', 'glass', ''],
  ['cloth', 'clear-vinyl', ': a cold plastic window cracks'],
  ['vinyl', 'glass', ': cold vinyl cracks'],
  ['vinyl', 'clear-vinyl', ': cold vinyl and plastic windows crack'],
])(
  'the page of a %s top with a window of %s says what the cold does to it',
  async (material, window, why) => {
    const ids = await fitted(shop, { top: { cover: { material }, window } });
    const { html } = await browse(shop, 'GET', await linkFor(shop, ids.ownerId, 'owner-page'));
    const said = wordsOf(html);
    // No handbook of this car is on record; a shop rule stands in for it.
    expect(said).toMatch(/Not below \d+ °C[^.]*\. A shop rule/);
    expect(/Not below \d+ °C([^.]*)\./.exec(said)?.[1]).toBe(why);
  },
);
