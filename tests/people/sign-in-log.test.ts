import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addMinutes } from '../../src/domain/calendar/instant.ts';
import { networkOf } from '../../src/domain/people/network.ts';
import type { OutgoingLetter } from '../../src/mail/outgoing.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { listSignIns } from '../../src/usecases/people/sign-in-log.ts';
import { signInByPassword } from '../../src/usecases/people/sign-in-person.ts';
import { tellOfNewBrowser } from '../../src/usecases/people/tell-new-browser.ts';
import { wordsOf } from '../pages/desk.ts';
import { browse } from '../pages/link-for.ts';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { ARRIVAL, codeAt, comer, PASSWORD, signInWith } from './comers.ts';

const NOW = '2026-06-12T09:00:00.000Z';

/** Signs in as a browser does, with the name it is known by; gives that name and where it leads. */
async function arrive(shop: Workshop, email: string, secret: string, browser = '') {
  shop.setNow(addMinutes(shop.context.now(), 1));
  const form = { email, password: PASSWORD, code: await codeAt(shop, secret) };
  const answer = await browse(shop, 'POST', '/sign-in', form, {
    'sec-fetch-site': 'same-origin',
    'user-agent': 'Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0',
    ...(browser === '' ? {} : { cookie: `__Host-foldkeep-browser=${browser}` }),
  });
  const cookies = [answer.headers['set-cookie']].flat().map((one) => String(one).split(';')[0]);
  const valueOf = (name: string) =>
    cookies.find((one) => one?.startsWith(`${name}=`))?.slice(name.length + 1) ?? '';
  return {
    to: answer.headers.location,
    browser: valueOf('__Host-foldkeep-browser'),
    cookie: `__Host-foldkeep=${valueOf('__Host-foldkeep')}`,
  };
}

eachDatabase('the sign-in log', ({ open }) => {
  it('lists who came in by which means and browser, and failed tries for somebody here', async () => {
    const shop = await open(NOW);
    const { email, secret } = await comer(shop, 'manager');
    const { organisationId } = await shop.context.store.records.person.findFirstOrThrow();
    await signInWith(shop, { email, password: 'not the one', code: '000000' });
    await signInWith(shop, { email: 'nobody@example.org', password: 'x', code: '000000' });
    const first = await arrive(shop, email, secret);
    const same = await arrive(shop, email, secret, first.browser);
    expect([first.to, same.to, same.browser]).toEqual(['/home', '/home', first.browser]);
    const caller = programCaller(organisationId, 'test');
    const { items } = await listSignIns(shop.context, caller, { limit: 50 });
    expect(items.map(({ outcome, means, newBrowser }) => [outcome, means, newBrowser])).toEqual([
      ['in', 'password', false],
      ['in', 'password', true],
      ['wrong', 'password', false],
      ['in', 'invitation', false],
    ]);
    expect(items[0]?.network).toBe('127.0.0.0/24');
    // The try for nobody is kept as nobody’s: the same work, and no name.
    const kept = await shop.context.store.records.signIn.findMany({ where: { personId: null } });
    expect(kept).toMatchObject([{ organisationId: null, outcome: 'wrong' }]);
    expect(JSON.stringify(kept)).not.toContain('nobody');
    const page = wordsOf(
      (await browse(shop, 'GET', '/sign-ins', undefined, { cookie: same.cookie })).html,
    );
    expect(page).toContain(
      'The manager: signed in by password and code, from Firefox on Linux, network 127.0.0.0/24',
    );
    expect(page).toContain('new browser');
    const foreign = programCaller('another', 'test');
    expect((await listSignIns(shop.context, foreign, { limit: 50 })).items).toEqual([]);
    await shop.close();
  });

  it('tells at the next sign-in by a known browser that a new one came in meanwhile', async () => {
    const shop = await open(NOW);
    const { email, secret } = await comer(shop, 'fitter');
    const own = await arrive(shop, email, secret);
    const other = await arrive(shop, email, secret);
    expect(other.browser).not.toBe(own.browser);
    const back = await arrive(shop, email, secret, own.browser);
    expect(back.to).toBe('/me?done=elsewhere');
    const me = await browse(shop, 'GET', '/me?done=elsewhere', undefined, { cookie: back.cookie });
    expect(wordsOf(me.html)).toContain('somebody signed in under your name by one that was new');
    expect((await arrive(shop, email, secret, own.browser)).to).toBe('/home');
    await shop.close();
  });

  it('notes the first of too many tries and none behind it', async () => {
    const shop = await open(NOW);
    const { email } = await comer(shop, 'manager');
    const said = { email, password: 'wrong wrong wrong', code: '000000' };
    for (let i = 0; i < 15; i++) await signInByPassword(shop.context, said, ARRIVAL);
    const rows = await shop.context.store.records.signIn.findMany({ orderBy: { id: 'asc' } });
    expect(rows.map(({ outcome }) => outcome)).toEqual([
      'in',
      ...Array.from({ length: 10 }, () => 'wrong'),
      'held-off',
    ]);
    await shop.close();
  });
});

describe('the letter about a new browser', () => {
  it('says when, from where and what to do, and holds no link that opens anything', async () => {
    const { openWorkshop } = await import('../setup/workshop.ts');
    const shop = await openWorkshop(NOW);
    const { email } = await comer(shop, 'manager');
    const person = await shop.context.store.records.person.findFirstOrThrow({ where: { email } });
    const sent: Omit<OutgoingLetter, 'from'>[] = [];
    const post = async (message: Omit<OutgoingLetter, 'from'>) => sent.push(message) > 0;
    const about = { at: NOW, deviceIn: (language: string) => `Firefox (${language})`, post };
    expect(await tellOfNewBrowser(shop.context, person, ARRIVAL, about)).toBe(true);
    expect(sent[0]?.to).toEqual({ name: 'The manager', address: email });
    expect(sent[0]?.text).toContain('Firefox (en), Friday, 12 June 2026 at 10:00');
    expect(sent[0]?.text).toContain('network 192.0.2.0/24');
    expect(sent[0]?.text.match(/https:\S+/g)).toEqual(['https://care.example.org/me']);
    // In their own language, where they chose one.
    await tellOfNewBrowser(shop.context, { ...person, language: 'de' }, ARRIVAL, about);
    expect(sent[1]?.subject).toBe('Eine Anmeldung mit einem neuen Browser');
    expect(sent[1]?.html).toContain('<html lang="de">');
    expect(sent[1]?.text).toContain('Firefox (de), Freitag, 12. Juni 2026 um 10:00');
    expect(sent[1]?.text).not.toMatch(/\b(?:the|you|your|was)\b/);
    await shop.close();
  });
});

// Addresses for documentation (RFC 5737, RFC 3849); the short forms of IPv6 are those of RFC 5952.
describe('a network', () => {
  it.each([
    ['192.0.2.77', '192.0.2.0/24'],
    ['::ffff:198.51.100.9', '198.51.100.0/24'],
    ['2001:db8:a:b:c:d:e:f', '2001:db8:a::/48'],
    ['2001:0DB8:000a::1', '2001:db8:a::/48'],
    ['fe80::1%eth0', 'fe80:0:0::/48'],
    ['::1', '0:0:0::/48'],
    ['', 'unknown'],
    ['not an address', 'unknown'],
  ])('of %s is %s', (address, network) => expect(networkOf(address)).toBe(network));

  it('never tells the end of an address', () => {
    const group = fc.integer({ min: 0, max: 0xffff }).map((n) => n.toString(16));
    const six = fc.array(group, { minLength: 8, maxLength: 8 });
    fc.assert(
      fc.property(six, six, (one, other) => {
        const sameStart = [...one.slice(0, 3), ...other.slice(3)];
        expect(networkOf(one.join(':'))).toBe(networkOf(sameStart.join(':')));
      }),
    );
    fc.assert(
      fc.property(fc.ipV4(), fc.nat(255), (address, last) => {
        expect(networkOf(address.replace(/\d+$/, String(last)))).toBe(networkOf(address));
      }),
    );
  });
});
