import { afterAll, beforeAll, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { openDesk, wordsOf } from './desk.ts';

eachDatabase('the stock', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  beforeAll(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
  });
  afterAll(() => shop.close());

  const part = '/stock/washer-pair';
  const stock = async () => (await shop.get('/v1/stock/washer-pair')).body;
  const page = async () => desk.open(part);
  const send = async (action: string, changes: Record<string, string | null>) =>
    desk.send(await page(), action, changes);
  const said = async () => wordsOf((await page()).html);
  /** The forms about one order, on the page of its part. */
  const orderAction = async () =>
    /action="(\/stock\/orders\/[^"]+)"/.exec((await page()).html)?.[1];

  it('asks for no price before a currency is said, and takes none but its own digits', async () => {
    expect((await page()).html).not.toContain('name="unitPrice"');
    const prices = await desk.open('/settings/prices');
    const empty = await desk.send(prices, '/settings/prices', { hourRate: '85' });
    expect([empty.status, wordsOf(empty.html)]).toEqual([
      400,
      expect.stringContaining('Choose a currency of the list'),
    ]);
    const wrong = await desk.send(prices, '/settings/prices', {
      currency: 'EUR',
      hourRate: '85.505',
    });
    expect(wordsOf(wrong.html)).toContain('Give an amount, such as 85.50.');
    const kept = await desk.send(prices, '/settings/prices', {
      currency: 'EUR',
      hourRate: '85,50',
      taxRate: '8,875',
      taxName: 'sales tax',
    });
    expect(kept.headers.location).toBe('/settings/prices?done=kept');
    const again = await desk.open('/settings/prices');
    expect(again.html).toMatch(/name="hourRate"[^>]* value="85\.50"/);
    expect(again.html).toMatch(/name="taxRate"[^>]* value="8\.875"/);
    expect(wordsOf((await desk.open('/stock')).html)).toContain('An hour at the bench: €85.50');
  });

  it('is counted by hand, with a price, and shows the second of two what the first wrote', async () => {
    const before = await page();
    const kept = await desk.send(before, `${part}/count`, { inHand: '5', unitPrice: '3,20' });
    expect(kept.headers.location).toBe(`${part}?done=counted`);
    expect(await stock()).toMatchObject({ inHand: 5, unitPrice: 320 });
    const second = await desk.send(before, `${part}/count`, { inHand: '9' });
    expect(second.status).toBe(409);
    expect(await stock()).toMatchObject({ inHand: 5 });
    const refused = await send(`${part}/count`, { inHand: '-1' });
    expect([refused.status, wordsOf(refused.html)]).toEqual([
      400,
      expect.stringContaining('fewer than none'),
    ]);
    // The page opens at what is wrong, which leads to its field.
    expect(refused.html).toMatch(/role="alert" tabindex="-1" autofocus>.*href="#inHand"/s);
    expect(refused.html).toMatch(/id="inHand-fault"/);
    expect(await said()).toContain('€3.20');
  });

  it('counts an order as on its way, once, and takes it in when it came', async () => {
    const form = await page();
    const order = {
      pieces: '10',
      orderedOn: '2026-06-11',
      expectedOn: '2026-06-25',
      words: 'No. 7',
    };
    await desk.send(form, `${part}/order`, order);
    const again = await desk.send(form, `${part}/order`, order);
    expect(again.status).toBe(303);
    expect(await stock()).toMatchObject({ inHand: 5, onOrder: 10 });
    expect(await said()).toMatch(/10 × spacer washers, ordered on Thursday, 11 June 2026.*No\. 7/);
    const action = (await orderAction()) ?? '';
    const early = { pieces: '10', orderedOn: '2026-06-11', expectedOn: '2026-06-01' };
    expect((await send(`${part}/order`, early)).status).toBe(400);
    await send(action, { fate: 'received', pieces: '8' });
    expect(await stock()).toMatchObject({ inHand: 13, onOrder: 0 });
  });

  it('takes back what was said of an order as if it had not been', async () => {
    const action = (await orderAction()) ?? '';
    await send(action, { fate: 'underway' });
    expect(await stock()).toMatchObject({ inHand: 5, onOrder: 10 });
    await send(action, { fate: 'called-off' });
    expect(await stock()).toMatchObject({ inHand: 5, onOrder: 0 });
    expect(await said()).toContain('called off on Friday, 12 June 2026');
  });

  it('is taken by visits, which propose what their work took, and given back with them', async () => {
    const { topId } = await fitted(shop, { top: { fittedOn: '2025-06-10' } });
    const visit = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'repair',
      doneOn: '2026-06-11',
      findings: [
        { fault: 'washers-missing', pivot: 'L-MAIN', text: 'washers gone', outcome: 'done' },
        { fault: 'washers-missing', pivot: 'R-MAIN', text: 'washers gone', outcome: 'done' },
      ],
    });
    const form = `/visits/${visit.body.id}/parts`;
    const proposed = await desk.open(form);
    expect(proposed.html).toMatch(/name="pieces\/washer-pair"[^>]* value="2"/);
    expect(proposed.html).toMatch(/name="pieces\/oil"[^>]* value=""/);
    expect(await stock()).toMatchObject({ inHand: 5 });
    await desk.send(proposed, form, {});
    expect(await stock()).toMatchObject({ inHand: 3 });
    await desk.send(await desk.open(form), form, { 'pieces/washer-pair': '7' });
    expect(await stock()).toMatchObject({ inHand: -2 });
    expect(wordsOf((await desk.open('/stock')).html)).toContain(
      'Count the spacer washers: 2 more were taken than had been counted.',
    );
    expect(await said()).toContain('7 for FK 1 on Thursday, 11 June 2026');
    const record = await desk.open(`/visits/${visit.body.id}/record`);
    const sure = await desk.send(record, `/visits/${visit.body.id}/withdraw`);
    await desk.send(sure, `/visits/${visit.body.id}/withdraw`);
    expect(await stock()).toMatchObject({ inHand: 5 });
  });

  it('says what to order and why, and who changed what', async () => {
    const { topId } = await fitted(shop, {
      car: { registration: 'FK 2' },
      top: { fittedOn: '2025-06-10' },
    });
    const findings = Array.from({ length: 8 }, (_, i) => ({
      fault: 'washers-missing',
      pivot: [
        'L-MAIN',
        'R-MAIN',
        'L-LINK1',
        'R-LINK1',
        'L-LINK2',
        'R-LINK2',
        'L-KNUCKLE1',
        'R-KNUCKLE1',
      ][i],
      text: 'washers gone',
      outcome: 'accepted',
    }));
    const look = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-11',
      findings,
    });
    expect(look.status).toBe(201);
    const words = wordsOf((await desk.open('/stock')).html);
    expect(words).toMatch(/4 × spacer washers .*5 in hand .*ordered by the owner \(8\)/);
    expect(await said()).toMatch(/What was changed .*in hand/);
  });

  it('forgets prices of parts with their currency, and is nobody else’s', async () => {
    const prices = await desk.open('/settings/prices');
    await desk.send(prices, '/settings/prices', { currency: 'JPY', hourRate: '9000' });
    expect(await stock()).toMatchObject({ inHand: 5, unitPrice: null });
    const action = (await orderAction()) ?? '';
    const other = await openDesk(shop, await shop.keyFor('Other Tops'));
    expect(wordsOf((await other.open('/stock')).html)).not.toContain('¥');
    const theirs = await other.open('/stock/oil');
    const once = /name="once" value="([^"]+)"/.exec(theirs.html)?.[1] ?? '';
    const foreign = await other.post(action, { once, version: '4', fate: 'underway' });
    expect(foreign.status).toBe(404);
    expect((await desk.open('/stock/no-such-part')).status).toBe(404);
    const reader = await openDesk(shop, await shop.keyFor('Elmyard Soft Tops', 'read'));
    expect((await reader.open(part)).html).not.toContain('/count');
    expect((await reader.post(`${part}/count`, { once: 'x'.repeat(12), inHand: '1' })).status).toBe(
      403,
    );
  });
});
