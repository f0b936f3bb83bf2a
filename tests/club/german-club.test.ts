import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { FAULTS } from '../../src/domain/faults/fault-rows.ts';
import { PIVOT_KINDS } from '../../src/domain/pivots/frame-patterns.ts';
import type { Caller } from '../../src/usecases/context/context.ts';
import { voiceFor } from '../../src/views/words/voice.ts';
import type { Desk } from '../pages/desk.ts';
import { openDesk, wordsOf } from '../pages/desk.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { asClub, careDay, members } from './club.ts';

describe('the secretary of a German club', () => {
  let shop: Workshop;
  let secretary: Caller;
  let desk: Desk;
  beforeAll(async () => {
    shop = await openWorkshop('2026-06-12T09:00:00.000Z');
    secretary = await asClub(shop, 'de');
    desk = await openDesk(shop);
  });
  afterAll(() => shop.close());

  it.each<[Record<string, string>, string]>([
    [{ until: '08:00' }, 'Bis: Der Tag endet, bevor er beginnt.'],
    [{ heldOn: '2026-06-01' }, 'Tag: Dieser Tag ist vorbei.'],
    [{ breaks: 'noon' }, 'Pausen: „noon“ ist keine Pause.'],
    [{ helpers: 'Ada\nAda' }, 'Helfer: Ada steht zweimal da.'],
    [{ helpers: 'Ada 10-13' }, 'Helfer: Die Zeiten von „Ada 10-13“ lassen sich nicht lesen.'],
    [{ helpers: '' }, 'Helfer: Nennen Sie wenigstens einen, der hilft.'],
  ])('reads what is wrong with a day in German: %j', async (wrong, told) => {
    const form = await desk.open('/care-day/new');
    const right = { heldOn: '2026-07-11', place: 'Halle 2', helpers: 'Ada' };
    const back = await desk.send(form, '/care-day/new', { ...right, ...wrong });
    expect(back.status).toBe(400);
    expect(wordsOf(back.html)).toContain(told);
  });

  it('reads the rota, why a time cannot be had, and the order in German', async () => {
    const all = await members(shop, 2);
    const id = await careDay(shop, secretary, all, { benches: 1 });
    const rota = await desk.open(`/care-day/${id}`);
    expect(wordsOf(rota.html)).toContain('Gefragt, noch keine Antwort');
    const [first = '', second = ''] = [
      ...rota.html.matchAll(/action="(\/care-day\/[^"]+\/places\/[^"/]+)"/g),
    ].map(([, action]) => action);
    const sure = await desk.send(rota, first, { start: '09:00', bench: '1' });
    expect(wordsOf(sure.html)).toContain('So speichern? Briefe folgen daraus:');
    await desk.send(sure, first);
    const placed = await desk.open(`/care-day/${id}`);
    expect(wordsOf(placed.html)).toMatch(/Nach Zeit .* Verdeck von Hand 1 .* kommt/);
    const taken = await desk.send(placed, second, { start: '09:00', bench: '1' });
    expect(taken.status).toBe(400);
    expect(wordsOf(taken.html)).toMatch(
      /Zeit: 09:00 Uhr ist am Arbeitsplatz 1 nicht zu haben\. Frei sind: /,
    );
    const order = wordsOf((await desk.open(`/care-day/${id}/order`)).html);
    expect(order).toContain('Ein Wagen hat eine Zeit.');
    expect(order).toContain('leichtes Öl');
  });
});

it('knows the German of every fault that is counted by pattern', () => {
  const { tell } = voiceFor('de');
  const said = [
    ...FAULTS.flatMap(({ item, means }) => [item, means]),
    ...PIVOT_KINDS.map((kind) => `${kind.replaceAll('-', ' ')} joint`),
    'washer missing',
  ];
  expect(said.filter((one) => tell(one) === one)).toEqual([]);
});
