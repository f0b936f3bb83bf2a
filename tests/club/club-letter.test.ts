import fc from 'fast-check';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { CLUB_LETTER_PARAGRAPH, paragraphsOf } from '../../src/domain/letters/club-letter.ts';
import type { Caller } from '../../src/usecases/context/context.ts';
import type { OutgoingLetter } from '../../src/mail/outgoing.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { takeSaleBack } from '../../src/usecases/owners/take-sale-back.ts';
import type { Desk } from '../pages/desk.ts';
import { fieldsIn, openDesk, wordsOf } from '../pages/desk.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { asClub } from './club.ts';

const SAID = {
  subject: 'Autumn meeting: <b>9 October</b> & cake',
  text: 'We meet at seven.\r\nGuests are welcome.\r\n\r\nWho brings {{owner}} a <script>cake</script>?',
};

eachDatabase('a letter of the club', ({ open }) => {
  let shop: Workshop;
  let club: Caller;
  let desk: Desk;
  beforeEach(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    club = await asClub(shop);
    desk = await openDesk(shop);
  });
  afterEach(() => shop.close());

  const member = (n: number, more: object = {}) =>
    fitted(shop, {
      owner: { name: `Member Number-${n}`, email: `member${n}@example.org`, ...more },
      car: { registration: `CLUB ${n}` },
      // Nothing else is due to anybody for a long time.
      top: { fittedOn: '2026-06-01' },
    });
  const stopPage = ({ ownerId }: CarAndTop) => linkFor(shop, ownerId, 'stop', 'club-news');
  const agree = async (one: CarAndTop) =>
    browse(shop, 'POST', await stopPage(one), { wish: 'agree' });
  const draft = async () => {
    const page = await desk.open('/club-letters');
    const { headers } = await desk.send(page, '/club-letters', SAID);
    return String(headers.location).split('?')[0] ?? '';
  };
  const press = async (path: string, deed: string) =>
    desk.send(await desk.open(path), `${path}/${deed}`, { sure: 'yes' });
  /** It has no button any more, and who sends the form all the same is told why. */
  const neverSent = async (path: string, version: string, why: string) => {
    expect((await desk.open(path)).html).not.toContain(`${path}/send`);
    const form = { once: 'abcdefgh13', version, sure: 'yes' };
    const sent = await desk.post(`${path}/send`, form);
    expect([sent.status, wordsOf(sent.html)]).toEqual([409, expect.stringContaining(why)]);
  };
  const letters = async () =>
    (await shop.get('/v1/letters?limit=200')).body.items.filter(
      ({ kind }: { kind: string }) => kind === 'club-letter',
    );

  it('can be read after it was sent, and begins the letter of the year after', async () => {
    expect((await agree(await member(1))).status).toBe(200);
    const path = await draft();
    expect((await desk.open(path)).html).not.toContain(`${path}/again`);
    await press(path, 'send');
    const old = await desk.open(path);
    expect(wordsOf(old.html)).toContain(SAID.text.replaceAll(/\s+/g, ' '));
    shop.setNow('2027-06-12T09:00:00.000Z');
    desk = await openDesk(shop);
    const again = await desk.send(await desk.open(path), `${path}/again`);
    const to = String(again.headers.location);
    expect(to).toMatch(/^\/club-letters\/[\w-]+\?done=again$/);
    expect(to).not.toContain(path);
    const fresh = await desk.open(to);
    expect(fieldsIn(fresh.html, to.split('?')[0] ?? '')).toMatchObject({
      subject: SAID.subject,
      text: SAID.text.replaceAll('\r\n', '\n'),
    });
    expect(await letters()).toHaveLength(1);
  });

  it('goes to those who pressed that they want it, each once, and says who gets none and why', async () => {
    const [ada, bob, cyd] = [await member(1), await member(2, { language: 'de' }), await member(3)];
    const twin = await member(4, { email: 'member1@example.org' });
    const stays = await member(5);
    for (const one of [ada, bob, stays]) expect((await agree(one)).status).toBe(200);
    await shop.post(`/v1/tops/${stays.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      readings: [{ pivot: 'L-MAIN', state: 'sheared', oiled: false }],
    });
    const path = await draft();
    expect(await letters()).toEqual([]);
    const { html } = await desk.open(path);
    const told = wordsOf(html);
    expect(told).toContain('It would reach 2 members.');
    expect(told).toMatch(/1: Have not agreed .* Member Number-3/);
    expect(told).toMatch(/1: A top of theirs must not be moved .* Member Number-5/);
    expect(told).toMatch(/1: Somebody else of the same address gets it\. Member Number-4/);
    expect(html).not.toContain('<script>cake');
    expect(told).toContain('Who brings {{owner}} a <script>cake</script>?');
    const asked = wordsOf((await desk.send(await desk.open(path), `${path}/send`)).html);
    expect(asked).toContain('goes to 2 members, each once.');
    expect(await letters()).toEqual([]);
    expect((await press(path, 'send')).status).toBe(303);
    expect(
      (await letters()).map(({ to }: { to: { address: string } }) => to.address).toSorted(),
    ).toEqual(['member1@example.org', 'member2@example.org']);
    const [first, second] = await letters();
    expect(first.subject).toBe(SAID.subject);
    expect(first.text).toContain('We meet at seven.\nGuests are welcome.\n\nWho brings {{owner}}');
    expect(first.html).toContain('a &lt;script&gt;cake&lt;/script&gt;?');
    expect(second.text).toContain('Ein Rundbrief an die Mitglieder, die zugestimmt haben.');
    // Whoever agrees later gets it by a second press, and nobody twice.
    await agree(cyd);
    expect(wordsOf((await desk.open(path)).html)).toContain(
      'Sent again it would reach one member more.',
    );
    await press(path, 'send');
    expect(await letters()).toHaveLength(3);
    await neverSent(path, '3', 'It would reach nobody');
    expect(twin.ownerId).not.toBe(ada.ownerId);
  });

  it('that waits for its hour is not lost when the hours of letters change: no round writes it anew', async () => {
    const hours = (from: number) =>
      shop.call(
        'PATCH',
        '/v1/organisation',
        { letterHours: { from, to: 20 } },
        { 'if-match': '*' },
      );
    await agree(await member(1));
    await hours(14);
    await press(await draft(), 'send');
    expect((await hours(15)).status).toBe(200);
    expect((await letters()).map(({ state }: { state: string }) => state)).toEqual(['planned']);
  });

  it('loses the car that its member sold, and comes back with the last one', async () => {
    const ada = await member(1);
    const bob = await member(2);
    const second = await fitted(shop, {
      owner: { email: 'member1@example.org' },
      car: { registration: 'CLUB 12', ownerId: ada.ownerId },
      top: { fittedOn: '2026-06-01' },
    });
    await agree(ada);
    await press(await draft(), 'send');
    const give = async (carId: string, ownerId: string) => {
      const sold = await shop.call('PATCH', `/v1/cars/${carId}`, { ownerId }, { 'if-match': '*' });
      expect(sold.status).toBe(200);
    };
    const waiting = async () =>
      (await letters()).flatMap(({ state, to }: { state: string; to: { address: string } }) =>
        state === 'planned' ? [to.address] : [],
      );
    await give(second.carId, bob.ownerId);
    expect(await waiting()).toEqual(['member1@example.org']);
    await give(ada.carId, bob.ownerId);
    expect(await waiting()).toEqual([]);
    await takeSaleBack(shop.context, club, ada.carId, '*');
    expect(await waiting()).toEqual(['member1@example.org']);
    await takeSaleBack(shop.context, club, second.carId, '*');
    expect(await waiting()).toEqual(['member1@example.org']);
  });

  it('follows its member to another address and into another language, with what she agreed to', async () => {
    const ada = await member(1);
    await agree(ada);
    await press(await draft(), 'send');
    const change = (body: object) =>
      shop.call('PATCH', `/v1/owners/${ada.ownerId}`, body, { 'if-match': '*' });
    expect((await change({ email: 'ada.new@example.org' })).status).toBe(200);
    const brief = async () =>
      (await letters()).map(
        ({ state, to, language }: { state: string; to: { address: string }; language: string }) =>
          [state, to.address, language].join(' '),
      );
    expect(await brief()).toEqual([
      'cancelled member1@example.org en',
      'planned ada.new@example.org en',
    ]);
    await change({ language: 'de' });
    expect((await brief()).at(-1)).toBe('planned ada.new@example.org de');
    expect((await letters()).at(-1).text).toContain('Ein Rundbrief an die Mitglieder');
    // She agreed, not her address: the next one reaches her too, and what she refuses goes along.
    const stop = await stopPage(ada);
    await browse(shop, 'POST', stop, { wish: 'stop' });
    await change({ email: 'ada.last@example.org' });
    expect((await brief()).filter((one: string) => one.startsWith('planned'))).toEqual([]);
    expect(wordsOf((await desk.open(await draft())).html)).toContain('Have not agreed');
  });

  it('can be stopped by one click, with the topic named in List-ID, and is no agreement of anybody else', async () => {
    const ada = await member(1);
    const bob = await member(2);
    await agree(ada);
    const standing = async (one: CarAndTop) =>
      wordsOf((await browse(shop, 'GET', await stopPage(one))).html);
    expect(await standing(ada)).not.toContain('Send me the letters of the club');
    expect(await standing(bob)).toContain('stopped Letters of the club');
    // What the organisation notes in its own name, and an undo of all, are no agreement.
    const none = { refused: [], words: 'said at the stand' };
    await shop.call('PUT', `/v1/owners/${bob.ownerId}/preferences`, none, { 'if-match': '*' });
    for (const wish of ['stop-all', 'undo']) {
      await browse(shop, 'POST', await stopPage(bob), { wish });
    }
    expect(await standing(bob)).toContain('stopped Letters of the club');
    const path = await draft();
    await press(path, 'send');
    const sent: OutgoingLetter[] = [];
    await deliverLetters(
      shop.context,
      {
        send: async (letter) => {
          sent.push(letter);
          return { kind: 'sent', response: 'ok' };
        },
        close: async () => {},
      },
      { mailFrom: { name: 'Foldkeep', address: 'foldkeep@example.org' } },
    );
    expect(sent).toHaveLength(1);
    expect(JSON.stringify(sent[0])).toMatch(/club-news/);
    expect(JSON.stringify(sent[0])).toMatch(/care\.example\.org\/u\//);
    const url =
      /https:\/\/care\.example\.org(\/u\/[\w-]+)/.exec(JSON.stringify(sent[0]))?.[1] ?? '';
    await browse(shop, 'POST', url, { 'List-Unsubscribe': 'One-Click' });
    expect(await standing(ada)).toContain('stopped Letters of the club');
    expect(await standing(ada)).toContain('comes Reminders');
  });

  it('waits for a day without another letter, and does not leave once it is withdrawn or unwelcome', async () => {
    const [ada, bob, cyd] = [await member(1), await member(2), await member(3)];
    for (const one of [ada, bob, cyd]) await agree(one);
    await shop.post(`/v1/tops/${ada.topId}/visits`, { kind: 'look', plannedOn: '2026-06-30' });
    const path = await draft();
    await press(path, 'send');
    const byCar = async () =>
      Object.fromEntries(
        (await letters()).map(
          (one: { to: { address: string }; notBefore: string; state: string }) => [
            one.to.address.split('@')[0],
            `${one.state} ${one.notBefore.slice(0, 10)}`,
          ],
        ),
      );
    expect(await byCar()).toEqual({
      member1: 'planned 2026-06-13',
      member2: 'planned 2026-06-12',
      member3: 'planned 2026-06-12',
    });
    // A top found broken meanwhile: what is asked of all may not be for it.
    await shop.post(`/v1/tops/${bob.topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-12',
      readings: [{ pivot: 'L-MAIN', state: 'sheared', oiled: false }],
    });
    expect((await byCar())['member2']).toContain('cancelled');
    await press(path, 'withdraw');
    expect(
      Object.values(await byCar()).every((state) => String(state).startsWith('cancelled')),
    ).toBe(true);
    await neverSent(path, '3', 'This letter was withdrawn.');
  });

  it('is refused without words, and stays as it was sent', async () => {
    const ada = await member(1);
    await agree(ada);
    const page = await desk.open('/club-letters');
    const empty = await desk.send(page, '/club-letters', { subject: 'x', text: ' ' });
    expect(empty.status).toBe(400);
    const long = 'a'.repeat(CLUB_LETTER_PARAGRAPH + 1);
    const tooLong = await desk.send(page, '/club-letters', { subject: 'x', text: long });
    expect([tooLong.status, wordsOf(tooLong.html)]).toEqual([
      400,
      expect.stringContaining('Part it by blank lines'),
    ]);
    const path = await draft();
    await press(path, 'send');
    const later = await desk.post(path, { once: 'abcdefgh12', version: '2', ...SAID });
    expect([later.status, wordsOf(later.html)]).toEqual([
      409,
      expect.stringContaining('was sent and stays as it is'),
    ]);
    expect(club.organisationId).not.toBe('');
    shop.key = await shop.keyFor('Another Shop');
    expect((await (await openDesk(shop)).open(path)).status).toBe(404);
  });
});

it('parts a text by blank lines and loses none of its words', () => {
  fc.assert(
    fc.property(fc.array(fc.constantFrom('a', ' ', '\n', '\r\n', 'b c', '\n\n', '\t')), (parts) => {
      const text = parts.join('');
      const paragraphs = paragraphsOf(text);
      const bare = (one: string) => one.replaceAll(/\s/g, '');
      expect(bare(paragraphs.join(''))).toBe(bare(text));
      for (const one of paragraphs) expect(one).toBe(one.trim());
    }),
  );
});
