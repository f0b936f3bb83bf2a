import { afterEach, beforeEach, expect, it } from 'vitest';
import { planWork } from '../../src/usecases/workshop/plan-work.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

eachDatabase('the report of a visit to an owner of another language', ({ open }) => {
  let shop: Workshop;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
  });
  afterEach(() => shop.close());

  const reportTo = async (carId: string) => {
    const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=50`);
    const letters: { kind: string; text: string }[] = body.items;
    const report = letters.find(({ kind }) => kind === 'visit-report');
    return report?.text.replaceAll(/\s+/g, ' ') ?? '';
  };

  it('tells the plan of the fault finding in that language, and says of typed words that they are not', async () => {
    await shop.call('PATCH', '/v1/organisation', { language: 'de' }, { 'if-match': '*' });
    const { carId, topId } = await fitted(shop, { owner: { language: 'en' } });
    const { organisationId } = (await shop.get(`/v1/cars/${carId}`)).body;
    const caller = programCaller(
      organisationId ?? (await shop.get('/v1/organisation')).body.id,
      'test',
    );
    await planWork(shop.context, caller, carId, {
      seen: ['cable-hangs-over-door', 'cable-whole-out-of-pocket'],
      ruledOut: [],
      work: [{ fault: 'cable-pocket-open' }],
      accepted: false,
      tellOwner: true,
    });
    const planned = await reportTo(carId);
    expect(planned).toContain('Open cable pocket (proven). Advice: sew or renew the pocket');
    expect(planned).not.toMatch(/Seiltasche|erwiesen|Tasche/);
    expect(planned).not.toContain('In the words of the bench');
    shop.setNow('2026-06-13T09:00:00.000Z');
    await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-13',
      findings: [{ text: 'Naht hinten links offen', pivot: 'L-MAIN', outcome: 'advised' }],
    });
    const { body } = await shop.get(`/v1/letters?carId=${carId}&limit=50`);
    const typed = body.items
      .filter(({ kind }: { kind: string }) => kind === 'visit-report')
      .at(-1)
      .text.replaceAll(/\s+/g, ' ');
    expect(typed).toContain('Left main pivot: Naht hinten links offen. You have not decided yet.');
    expect(typed).toContain('in another language than this letter');
  });
});
