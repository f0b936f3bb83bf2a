import { afterAll, beforeAll, expect, it } from 'vitest';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { toldToMove } from '../may-move/movement-words.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Desk } from './desk.ts';
import { fieldsIn, openDesk, wordsOf } from './desk.ts';
import { browse } from './link-for.ts';
import { wholeLetters } from '../setup/stored-letters.ts';

eachDatabase('estimates', ({ open }) => {
  let shop: Workshop;
  let desk: Desk;
  let plates = 0;
  /** What the first press came to, before any price was said. */
  let unpriced: Awaited<ReturnType<Desk['open']>>;
  beforeAll(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
    unpriced = await made(await carWithWork());
    await desk.send(await desk.open('/settings/prices'), '/settings/prices', {
      currency: 'EUR',
      hourRate: '80',
      taxRate: '19',
      taxName: 'VAT',
    });
    await shop.call('PUT', '/v1/stock/washer-pair', { inHand: 4, unitPrice: 333 });
    await shop.call('PUT', '/v1/stock/tailgate-seal', { inHand: 0, unitPrice: 4500 });
  });
  afterAll(() => shop.close());

  /** A car with two faults found: washers gone at two joints (1.5 h), a seal missing (1 h). */
  const carWithWork = async (owner: object = {}): Promise<CarAndTop> => {
    plates += 1;
    const ids = await fitted(shop, {
      owner: { email: `owner${plates}@example.org`, ...owner },
      car: { registration: `FK ${plates}` },
      top: { fittedOn: '2025-06-10' },
    });
    const washers = { fault: 'washers-missing', text: 'washers gone' };
    const visit = await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-11',
      findings: [
        { ...washers, pivot: 'L-MAIN' },
        { ...washers, pivot: 'R-LINK1' },
        { fault: 'tailgate-seal-missing', text: 'seal gone' },
      ],
    });
    expect(visit.status).toBe(201);
    return ids;
  };
  const made = async ({ carId }: CarAndTop) =>
    desk.send(await desk.open(`/cars/${carId}/work`), `/cars/${carId}/estimates`);
  const draftOf = async (ids: CarAndTop) => {
    const { headers } = await made(ids);
    return String(headers.location).replace('?done=made', '');
  };
  const sendIt = async (own: string) => {
    const sure = await desk.send(await desk.open(own), `${own}/send`);
    expect(wordsOf(sure.html)).toContain('the estimate, with a link to answer it');
    return desk.send(sure, `${own}/send`);
  };
  const lettersTo = async ({ ownerId }: CarAndTop) => {
    const where = `l."ownerId" = ? AND l."kind" = 'estimate'`;
    return wholeLetters(shop.context.store.sql, where, [ownerId]);
  };
  const linkIn = (text: string) =>
    /https:\/\/care\.example\.org(\/e\/[\w-]{43})/.exec(text)?.[1] ?? '';
  const sent = async (owner: object = {}) => {
    const ids = await carWithWork(owner);
    const own = await draftOf(ids);
    await sendIt(own);
    const letter = (await lettersTo(ids)).at(-1);
    return { ids, own, letter, link: linkIn(letter?.text ?? '') };
  };
  const findings = async ({ topId }: CarAndTop) =>
    (await shop.get(`/v1/tops/${topId}/visits`)).body.items.flatMap(
      (visit: { findings: unknown[] }) => visit.findings,
    ) as { fault: string; pivot: string | null; outcome: string; decidedOn: string | null }[];
  const press = async (link: string, changes: Record<string, string | null> = {}) => {
    const page = await browse(shop, 'GET', link);
    const inputs = [
      ...page.html.matchAll(/<input type="(?:hidden|checkbox)" name="([^"]+)" value="([^"]*)"/g),
    ];
    const fields = Object.fromEntries(inputs.map(([, name, value]) => [name ?? '', value ?? '']));
    const kept = Object.entries({ ...fields, ...changes }).filter(
      (pair): pair is [string, string] => pair[1] !== null,
    );
    return browse(shop, 'POST', link, Object.fromEntries(kept));
  };

  it('are refused until the shop has said what its hour costs', () => {
    expect(unpriced.status).toBe(409);
    expect(wordsOf(unpriced.html)).toContain('Say first what an hour at the bench costs');
  });

  it('are drafted from the work, its hours and parts, in the prices of the shop', async () => {
    const own = await draftOf(await carWithWork());
    const words = wordsOf((await desk.open(own)).html);
    // 1.5 h × 80.00 + 2 × 3.33 + 1 h × 80.00 + 45.00 = 251.66; 19 % of it is 47.8154.
    expect(words).toMatch(/Missing tailgate seal.* 1 h €80\.00 €80\.00/);
    expect(words).toMatch(
      /Missing spacer washers \(left main pivot, right link pivot 1\).* 1\.5 h €80\.00 €120\.00/,
    );
    expect(words).toMatch(/spacer washers 2 pieces €3\.33 €6\.66/);
    expect(words).toContain('Sum without tax €251.66 VAT €47.82 In all €299.48');
    expect(words).toContain('The owner knows nothing of it yet.');
  });

  it('are put right line by line, and leave only once every line has its price', async () => {
    const own = await draftOf(await carWithWork());
    const page = await desk.open(own);
    const added = await desk.send(page, own, { 'works/2/text': 'Polish the window' });
    expect(added.headers.location).toBe(`${own}?done=kept`);
    const refused = await desk.send(await desk.open(own), `${own}/send`, { sure: 'yes' });
    expect([refused.status, wordsOf(refused.html)]).toEqual([
      400,
      expect.stringContaining('Say first what this costs: Polish the window'),
    ]);
    const wrong = await desk.send(await desk.open(own), own, { 'works/2/rate': 'ten' });
    expect(wrong.html).toMatch(/id="works-2-rate-fault"[^>]*>.*such as 8\.50/);
    await desk.send(await desk.open(own), own, {
      'works/2/rate': '40,50',
      'works/2/hours': '0,33',
    });
    const text = wordsOf((await desk.open(own)).html);
    expect(text).toMatch(/Polish the window 0\.33 h €40\.50 €13\.37/);
    const second = await desk.send(page, own, { 'works/0/text': '' });
    expect(second.status).toBe(409);
    const gone = await desk.send(await desk.open(own), own, { 'works/2/text': '' });
    expect(gone.status).toBe(303);
    expect(wordsOf((await desk.open(own)).html)).not.toContain('Polish');
  });

  it('reach the owner in a letter that says what each piece costs and how long it holds', async () => {
    const { letter, own } = await sent();
    expect(letter?.text).toContain('VAT: €47.82');
    expect(letter?.text).toContain('In all: €299.48');
    expect(letter?.text).toContain('Holds until: Sunday, 12 July 2026');
    expect(letter?.html).toContain('€299.48');
    expect(wordsOf((await desk.open(own)).html)).toContain('It holds until Sunday, 12 July 2026');
    const german = await sent({ language: 'de' });
    expect(german.letter?.text).toContain('Insgesamt: 299,48\u00a0€');
    expect(german.letter?.text).toContain('Gilt bis: Sonntag, 12. Juli 2026');
    expect(wordsOf((await browse(shop, 'GET', german.link)).html)).toContain('Alles annehmen');
  });

  it('have one letter, whatever is held again, and none of the day beside it', async () => {
    const { ids } = await sent();
    shop.setNow('2026-06-12T10:00:00.000Z');
    await planRound(shop.context);
    shop.setNow('2026-06-12T09:00:00.000Z');
    expect(await lettersTo(ids)).toHaveLength(1);
  });

  it('are accepted in part behind the link, once, and what was declined is remembered with its day', async () => {
    const { ids, link } = await sent();
    const opened = await browse(shop, 'GET', link);
    expect((await findings(ids)).map(({ outcome }) => outcome)).toEqual([
      'advised',
      'advised',
      'advised',
    ]);
    const seal =
      /name="(take\/[^"]+)" value="yes" checked> [^<]*<span class="unseen">: Missing tailgate/.exec(
        opened.html,
      )?.[1];
    const done = await press(link, { [seal ?? 'none']: null, answer: 'chosen' });
    const words = wordsOf(done.html);
    expect(words).toContain('Thank you. Your answer is noted.');
    // 126.66 and 19 % of it, 24.0654.
    expect(words).toContain('Accepted by you, in all €150.73');
    const decided = (await findings(ids)).map(({ fault, outcome, decidedOn }) => [
      fault,
      outcome,
      decidedOn,
    ]);
    expect(decided).toEqual([
      ['washers-missing', 'accepted', '2026-06-12'],
      ['washers-missing', 'accepted', '2026-06-12'],
      ['tailgate-seal-missing', 'declined', '2026-06-12'],
    ]);
    const again = await browse(shop, 'POST', link, { was: '2', answer: 'none' });
    expect(wordsOf(again.html)).toContain('Nothing was changed by that');
    expect((await findings(ids)).filter(({ outcome }) => outcome === 'accepted')).toHaveLength(2);
    const trail = (await shop.get(`/v1/trail?carId=${ids.carId}`)).body.items;
    expect(trail.some(({ author }: { author: string }) => author === `owner:${ids.ownerId}`)).toBe(
      true,
    );
  });

  it('lead on to a day for what was accepted', async () => {
    const { link } = await sent();
    const early = await browse(shop, 'POST', `${link}/day`, {});
    expect(early.status).toBe(404);
    const done = await press(link, { answer: 'all' });
    expect(wordsOf(done.html)).toContain('Choose a day for it');
    const days = await browse(shop, 'POST', `${link}/day`, {});
    expect(days.status).toBe(303);
    const book = await browse(shop, 'GET', String(days.headers.location));
    expect(wordsOf(book.html)).toContain('Book one of these days');
  });

  it('say behind an older link that a newer one took their place', async () => {
    const { ids, own, link } = await sent();
    const fresh = String(
      (await desk.send(await desk.open(own), `${own}/redraft`)).headers.location,
    ).replace('?done=redrafted', '');
    expect((await browse(shop, 'GET', link)).html).toContain('name="was"');
    await desk.send(await desk.open(fresh), fresh, { 'works/0/rate': '70' });
    await sendIt(fresh);
    const older = await browse(shop, 'GET', link);
    expect(wordsOf(older.html)).toContain('has changed this estimate');
    expect(older.html).not.toContain('name="was"');
    await browse(shop, 'POST', link, { was: '3', answer: 'all' });
    expect((await findings(ids)).every(({ outcome }) => outcome === 'advised')).toBe(true);
    const [first, second] = await lettersTo(ids);
    expect([first?.state, second?.state]).toEqual(['cancelled', 'planned']);
    expect(wordsOf((await desk.open(own)).html)).toContain('A later estimate took its place');
  });

  it('hold until their last day and no longer, but for the shop’s own word', async () => {
    const { ids, own, link } = await sent();
    shop.setNow('2026-07-12T20:00:00.000Z');
    expect((await browse(shop, 'GET', link)).html).toContain('name="was"');
    shop.setNow('2026-07-13T09:00:00.000Z');
    const over = await browse(shop, 'GET', link);
    expect(wordsOf(over.html)).toContain('held until Sunday, 12 July 2026');
    await browse(shop, 'POST', link, { was: '2', answer: 'all' });
    expect((await findings(ids)).every(({ outcome }) => outcome === 'advised')).toBe(true);
    desk = await openDesk(shop);
    const page = await desk.open(own);
    await desk.post(`${own}/answer`, { ...fieldsIn(page.html, `${own}/answer`), answer: 'none' });
    expect((await findings(ids)).every(({ outcome }) => outcome === 'declined')).toBe(true);
    shop.setNow('2026-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
  });

  it('are taken back with their link, and the letter that waits', async () => {
    const { ids, own, link } = await sent();
    const sure = await desk.send(await desk.open(own), `${own}/withdraw`);
    await desk.send(sure, `${own}/withdraw`);
    expect(wordsOf((await browse(shop, 'GET', link)).html)).toContain(
      'has taken this estimate back',
    );
    expect((await lettersTo(ids)).map(({ state }) => state)).toEqual(['cancelled']);
  });

  it('tell nobody to move a top that must stay, and say so first', async () => {
    const ids = await fitted(shop, {
      owner: { email: 'stays@example.org' },
      car: { registration: 'FK 700' },
      top: { fittedOn: '2025-06-10' },
    });
    await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-11',
      readings: [{ pivot: 'L-MAIN', state: 'sheared', oiled: false }],
    });
    const own = await draftOf(ids);
    const page = await desk.open(own);
    expect(wordsOf(page.html)).toMatch(/pieces? not said yet/);
    const priced = Object.keys(fieldsIn(page.html, own)).filter((name) => /\d\/price$/.test(name));
    await desk.send(page, own, Object.fromEntries(priced.slice(0, -1).map((name) => [name, '9'])));
    await sendIt(own);
    const [letter] = (await lettersTo(ids)).slice(-1);
    const text = letter?.text ?? '';
    expect(
      text.indexOf('Please leave') >= 0 || /must not be moved|leave .* as it is/i.test(text),
    ).toBe(true);
    expect(toldToMove(text)).toEqual([]);
    const answer = linkIn(text);
    const shown = wordsOf((await browse(shop, 'GET', answer)).html);
    expect(toldToMove(shown)).toEqual([]);
    await press(answer, { answer: 'all' });
    // Nobody had put into words what the reading says: now it is a finding, and agreed.
    expect(await findings(ids)).toMatchObject([
      { fault: 'pivot-sheared', pivot: 'L-MAIN', outcome: 'accepted', decidedOn: '2026-06-12' },
    ]);
  });

  it('are nobody else’s: neither the pages of another shop nor a link of another purpose opens them', async () => {
    const { own, link, ids } = await sent();
    const other = await openDesk(shop, await shop.keyFor('Other Tops'));
    expect((await other.open(own)).status).toBe(404);
    const once = 'x'.repeat(12);
    for (const deed of ['send', 'withdraw', 'answer', 'redraft']) {
      const { status } = await other.post(`${own}/${deed}`, { once, sure: 'yes', version: '2' });
      expect([deed, status]).toEqual([deed, 404]);
    }
    const token = link.slice('/e/'.length);
    expect((await browse(shop, 'GET', `/b/${token}`)).status).toBe(404);
    expect((await browse(shop, 'GET', `/o/${token}`)).status).toBe(404);
    const hidden = (await shop.get(`/v1/letters?carId=${ids.carId}`)).body.items.length;
    expect(hidden).toBeGreaterThan(0);
    const links = await shop.context.store.records.link.findMany({
      where: { purpose: 'estimate' },
    });
    expect(links.some(({ hash }) => hash === token)).toBe(false);
    shop.setNow('2027-09-01T09:00:00.000Z');
    expect((await browse(shop, 'GET', link)).status).toBe(404);
    shop.setNow('2026-06-12T09:00:00.000Z');
  });

  it('stand together in one list with what they come to and how old they are', async () => {
    const { own, link } = await sent();
    await press(link, { answer: 'none' });
    await sent();
    shop.setNow('2026-06-20T09:00:00.000Z');
    const later = await openDesk(shop);
    const words = wordsOf((await later.open('/estimates')).html);
    shop.setNow('2026-06-12T09:00:00.000Z');
    // Eight days on, the first sign-in has ended.
    desk = await openDesk(shop);
    expect(words).toMatch(/Wait for an answer \d+ estimates?, €[\d,.]+/);
    expect(words).toMatch(/€299\.48 sent 8 days ago; holds until Sunday, 12 July 2026/);
    expect(words).toContain('declined 8 days ago; told again at the next visit');
    expect(words).toContain('Drafts, not sent yet');
    expect((await desk.open('/estimates')).html).toContain(`href="${own}"`);
    expect((await desk.open('/letters')).html).toContain('href="/estimates"');
    const other = await openDesk(shop, await shop.keyFor('Other Hoods'));
    expect(wordsOf((await other.open('/estimates')).html)).toContain('There is none here.');
  });

  it('are drafted in the language of the owner', async () => {
    const own = await draftOf(await carWithWork({ language: 'de' }));
    const words = wordsOf((await desk.open(own)).html);
    expect(words).toContain('Unterlegscheiben fehlen (');
    expect(words).toContain('Dichtung der Heckklappe fehlt: eine neue Dichtung');
    expect(words).not.toContain('drafted in English');
  });
});
