import { afterEach, beforeEach, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('the report of a visit on which the frame was measured', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const lastReport = async (carId: string): Promise<string> => {
    const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=50`);
    const letters: { kind: string; text: string }[] = body.items;
    const report = letters.findLast(({ kind }) => kind === 'visit-report');
    return report?.text.replaceAll(/\s+/g, ' ') ?? '';
  };
  const visited = async (topId: string, day: string, found: object) => {
    shop.setNow(`${day}T09:00:00.000Z`);
    const { status } = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: day,
      ...found,
    });
    expect(status).toBe(201);
  };

  it('says what was measured beside the limit it was held against, and whose limit that is', async () => {
    const { carId, topId } = await fitted(shop, { owner: { language: 'en' } });
    const diagonalsMm = { left: 1_003.5, right: 1_000 };
    await visited(topId, '2026-06-12', { swayMm: 4.5, diagonalsMm, breakawayN: 40 });
    const first = await lastReport(carId);
    expect(first).toContain('frame: 4.5 mm. Good up to 5 mm (shop rule).');
    expect(first).toContain('diagonals: 3.5 mm. Over 3 mm: watch (shop rule).');
    expect(first).toContain('40 N. It is the first reading since the top was fitted');
    await visited(topId, '2026-09-12', { breakawayN: 58 });
    const second = await lastReport(carId);
    // 58 N is 45 % more than 40 N.
    expect(second).toContain(
      '58 N. Over 40 % more than the 40 N of the first reading, June 2026: plan a repair (shop rule).',
    );
    // What was measured on another visit is that visit's.
    expect(second).not.toContain('diagonals');
  });

  it('says it in German with a German point', async () => {
    const { carId, topId } = await fitted(shop, { owner: { language: 'de' } });
    await visited(topId, '2026-06-12', { swayMm: 10.5 });
    expect(await lastReport(carId)).toContain(
      'vorn am Gestell: 10,5 mm. Über 10 mm: Reparatur planen (Werkstattregel).',
    );
  });

  it('says nothing of a measure where none was taken, nor of one that a repair has made good', async () => {
    const { carId, topId } = await fitted(shop, { owner: { language: 'en' } });
    await visited(topId, '2026-06-12', { findings: [{ text: 'seam open', outcome: 'advised' }] });
    expect(await lastReport(carId)).toContain('Seam open');
    expect(await lastReport(carId)).not.toContain('What we measured');
    const readings = [{ pivot: 'L-MAIN', state: 'free', oiled: true, repaired: true }];
    await visited(topId, '2026-06-20', { kind: 'repair', swayMm: 14, readings });
    expect(await lastReport(carId)).toContain('Repaired: left main pivot.');
    expect(await lastReport(carId)).not.toContain('What we measured');
  });
});
