import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { addMinutes } from '../../src/domain/calendar/instant.ts';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import { signInByPassword } from '../../src/usecases/people/sign-in-person.ts';
import { fieldsIn, openDesk } from '../pages/desk.ts';
import { browse, wholeDatabase } from '../pages/link-for.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { ARRIVAL, codeAt, comer, cookieOf, PASSWORD, signInWith } from './comers.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const ORIGIN = { origin: 'https://care.example.org', 'sec-fetch-site': 'same-origin' };

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop(NOW);
});
afterEach(() => shop.close());

const later = (minutes: number) => shop.setNow(addMinutes(shop.context.now(), minutes));
const open = (url: string, cookie: string) => browse(shop, 'GET', url, undefined, { cookie });
const press = async (
  cookie: string,
  page: string,
  action: string,
  changes: Record<string, string> = {},
) => {
  const { html } = await open(page, cookie);
  const fields = { ...fieldsIn(html, action), ...changes };
  return browse(shop, 'POST', action, fields, { cookie, ...ORIGIN });
};

describe('signing in as oneself', () => {
  it('takes address, password and a code, each code once (RFC 6238, section 5.2)', async () => {
    const { email, secret } = await comer(shop, 'manager');
    later(1);
    const form = { email, password: PASSWORD, code: await codeAt(shop, secret) };
    const answer = await signInWith(shop, form);
    expect([answer.status, answer.headers.location]).toEqual([303, '/home']);
    expect(answer.headers['set-cookie']).toEqual([
      expect.stringMatching(
        /^__Host-foldkeep=[\w-]{43}; Max-Age=1209600; Path=\/; HttpOnly; Secure; SameSite=Strict$/,
      ),
      expect.stringMatching(
        /^__Host-foldkeep-browser=[\w-]{43}; Max-Age=34560000; Path=\/; HttpOnly; Secure; SameSite=Strict$/,
      ),
    ]);
    expect((await open('/today', cookieOf(answer))).status).toBe(200);
    expect((await signInWith(shop, form)).status).toBe(401);
    const kept = await wholeDatabase(shop);
    expect(kept).toContain('$argon2id$v=19$m=19456,t=2,p=1$');
    expect(kept).not.toContain(PASSWORD);
    expect(kept).not.toContain(cookieOf(answer).split('=')[1] ?? '-');
  });

  it('says the same of a wrong address, a wrong password and a wrong code', async () => {
    const { email, secret } = await comer(shop, 'manager');
    later(1);
    const right = { email, password: PASSWORD, code: await codeAt(shop, secret) };
    const wrongs = [
      { ...right, email: 'nobody@example.org' },
      { ...right, password: 'another phrase entirely' },
      { ...right, code: '123456' },
      { ...right, email: '', password: '', code: '' },
    ];
    const said = [];
    for (const wrong of wrongs) {
      const { status, html, headers } = await signInWith(shop, wrong);
      const { date: _date, ...rest } = headers as Record<string, unknown>;
      said.push({
        status,
        html: html.replaceAll(wrong.email || '\0', ''),
        rest: Object.keys(rest),
      });
    }
    expect(said[0]?.status).toBe(401);
    for (const one of said) expect(one).toEqual(said[0]);
  });

  it('makes an address wait after ten wrong tries, whether anybody has it or not', async () => {
    const { email, secret } = await comer(shop, 'manager');
    const statuses = async (address: string) => {
      const all = [];
      for (let i = 0; i < 11; i++) {
        // Others wait by where they come from; here it is the address that counts.
        const { context } = shop;
        const said = { email: address, password: 'wrong wrong wrong', code: '000000' };
        all.push(await signInByPassword(context, said, ARRIVAL));
      }
      return all.map(({ kind }) => kind);
    };
    const [known, unknown] = [await statuses(email), await statuses('nobody@example.org')];
    expect(known).toEqual([...Array.from({ length: 10 }, () => 'wrong'), 'wait']);
    expect(unknown).toEqual(known);
    const form = { email, password: PASSWORD, code: await codeAt(shop, secret) };
    expect((await signInWith(shop, form)).status).toBe(429);
    later(16);
    const again = { ...form, code: await codeAt(shop, secret) };
    expect((await signInWith(shop, again)).status).toBe(303);
  });

  it('sends a guesser away by where they come from too', async () => {
    for (let i = 0; i < 10; i++) {
      const form = { email: `a${i}@example.org`, password: 'wrong', code: '000000' };
      expect((await signInWith(shop, form)).status).toBe(401);
    }
    const form = { email: 'b@example.org', password: 'wrong', code: '000000' };
    expect((await signInWith(shop, form)).status).toBe(429);
  });

  it('takes a recovery code in the place of the authenticator, each once', async () => {
    const { email, cookie } = await comer(shop, 'manager');
    const made = await press(cookie, '/me', '/me/recovery-codes');
    const codes = made.html.match(/[0-9A-Z]{4}(?:-[0-9A-Z]{4}){5}/g) ?? [];
    expect(new Set(codes).size).toBe(10);
    expect(await wholeDatabase(shop)).not.toContain(codes[0]);
    const form = { email, password: PASSWORD, code: (codes[0] ?? '').toLowerCase() };
    expect((await signInWith(shop, { ...form, password: 'not the one at all' })).status).toBe(401);
    const answer = await signInWith(shop, form);
    expect([answer.status, answer.headers.location]).toEqual([303, '/me?done=recovered']);
    expect((await open('/me', cookieOf(answer))).html).toContain('You have 9 left.');
    expect((await signInWith(shop, form)).status).toBe(401);
  });

  it('ends unused for twelve hours, after fourteen days, and where the person ends it', async () => {
    const { email, secret, cookie } = await comer(shop, 'manager');
    later(1);
    const form = { email, password: PASSWORD, code: await codeAt(shop, secret) };
    const second = cookieOf(await signInWith(shop, form));
    const list = (await open('/me', cookie)).html;
    const end = /action="(\/me\/sessions\/[^"]+\/end)"/.exec(list)?.[1] ?? '';
    expect((await press(cookie, '/me', end)).status).toBe(303);
    expect((await open('/today', second)).status).toBe(303);
    expect((await open('/today', cookie)).status).toBe(200);
    for (let step = 0; step < 30; step++) {
      later(11 * 60);
      expect((await open('/today', cookie)).status).toBe(200);
    }
    later(7 * 60);
    expect((await open('/today', cookie)).status).toBe(303);
    const third = await signInWith(shop, { ...form, code: await codeAt(shop, secret) });
    later(12 * 60);
    expect((await open('/today', cookieOf(third))).status).toBe(303);
  });

  it('asks to sign in anew before the means are changed (ASVS 5.0, 7.5.1)', async () => {
    const { cookie } = await comer(shop, 'manager');
    const { html } = await open('/me', cookie);
    const fields = fieldsIn(html, '/me/recovery-codes');
    later(16);
    const late = await browse(shop, 'POST', '/me/recovery-codes', fields, { cookie, ...ORIGIN });
    expect([late.status, late.html.includes('Sign in again first')]).toEqual([403, true]);
    expect((await open('/me', cookie)).html).not.toContain('Make recovery codes');
  });

  it('closes the pages to keys of the organisation, which go on to serve programs', async () => {
    const desk = await openDesk(shop);
    expect((await signIn(shop.context, shop.key)).kind).toBe('signed-in');
    await comer(shop, 'fitter');
    expect((await signIn(shop.context, shop.key)).kind).toBe('signed-in');
    await comer(shop, 'manager');
    expect((await signIn(shop.context, shop.key)).kind).toBe('people-sign-in');
    expect((await shop.get('/v1/owners')).status).toBe(200);
    expect((await desk.open('/people')).status).toBe(200);
    const other = await shop.keyFor('Another Club');
    expect((await signIn(shop.context, other)).kind).toBe('signed-in');
  });
});

describe('invitations', () => {
  const inviteOn = async (cookie: string, changes: Record<string, string>) => {
    const answer = await press(cookie, '/people', '/people', changes);
    return { answer, path: /\/join\/[\w-]{43}/.exec(answer.html)?.[0] ?? '' };
  };
  const who = { name: 'Bo Hinge', email: 'Bo@example.org', role: 'desk' };

  it('are good once, for seven days, and until they are taken back', async () => {
    const { cookie } = await comer(shop, 'manager');
    const first = await inviteOn(cookie, who);
    expect((await browse(shop, 'GET', first.path)).status).toBe(200);
    expect(await wholeDatabase(shop)).not.toContain(first.path.slice(6));
    const second = await inviteOn(cookie, who);
    expect((await browse(shop, 'GET', first.path)).status).toBe(404);
    later(7 * 24 * 60 - 1);
    expect((await browse(shop, 'GET', second.path)).status).toBe(200);
    later(1);
    expect((await browse(shop, 'GET', second.path)).status).toBe(404);
  });

  it('set a password that is hard to guess, with an authenticator that is shown to work', async () => {
    const { cookie } = await comer(shop, 'manager');
    const { path } = await inviteOn(cookie, who);
    const { html } = await browse(shop, 'GET', path);
    const fields = fieldsIn(html, path);
    const secret = fields['secret'] ?? '';
    const send = (changes: Record<string, string>) =>
      browse(shop, 'POST', path, { ...fields, ...changes }, ORIGIN);
    const code = await codeAt(shop, secret);
    for (const weak of ['short', 'password1234', 'bo@example.org', 'Bo Hinge 2026']) {
      const refused = await send({ password: weak, code });
      expect([weak, refused.status]).toEqual([weak, 400]);
      expect(refused.html).not.toContain(`value="${weak}"`);
      expect(refused.html).toContain(secret);
    }
    expect((await send({ password: PASSWORD, code: '000000' })).status).toBe(400);
    const joined = await send({ password: PASSWORD, code });
    expect([joined.status, joined.headers.location]).toEqual([303, '/me?done=joined']);
    expect((await send({ password: PASSWORD, code })).status).toBe(404);
    expect((await open('/me', cookieOf(joined))).html).toContain('bo@example.org');
  });

  it('give somebody who lost their means others, and end those they had', async () => {
    const manager = await comer(shop, 'manager');
    const { cookie, email } = await comer(shop, 'fitter');
    const people = (await open('/people', manager.cookie)).html;
    const fitter = people.split('<li>').find((item) => item.includes(email)) ?? '';
    const action = /action="([^"]+\/invite)"/.exec(fitter)?.[1] ?? '';
    const sent = await press(manager.cookie, '/people', action);
    const path = /\/join\/[\w-]{43}/.exec(sent.html)?.[0] ?? '';
    expect((await open('/today', cookie)).status).toBe(200);
    const fields = fieldsIn((await browse(shop, 'GET', path)).html, path);
    const code = await codeAt(shop, fields['secret'] ?? '');
    const set = { ...fields, password: 'another plum lantern 77', code };
    expect((await browse(shop, 'POST', path, set, ORIGIN)).status).toBe(303);
    expect((await open('/today', cookie)).status).toBe(303);
    later(1);
    const old = {
      email,
      password: PASSWORD,
      code: await codeAt(shop, 'KJ62V65NX6KW3XPP5CT4YFMVSTZHS2GZ'),
    };
    expect((await signInWith(shop, old)).status).toBe(401);
  });

  it('come from a manager alone', async () => {
    await comer(shop, 'manager');
    for (const role of ['desk', 'fitter', 'volunteer'] as const) {
      const { cookie } = await comer(shop, role);
      const form = { once: 'abcdefgh', ...who };
      const answer = await browse(shop, 'POST', '/people', form, { cookie, ...ORIGIN });
      expect([role, answer.status]).toEqual([role, 403]);
      expect((await open('/people', cookie)).status).toBe(403);
      expect((await open('/keys', cookie)).status).toBe(403);
    }
  });
});

describe('roles', () => {
  it('open what their work needs, and a volunteer the care day alone', async () => {
    const { ownerId, carId, topId } = await fitted(shop);
    const opens = async (role: 'manager' | 'desk' | 'fitter' | 'volunteer') => {
      const { cookie } = await comer(shop, role);
      const paths = ['/care-day', '/today', `/cars/${carId}`, `/owners/${ownerId}`];
      paths.push(`/tops/${topId}/booking`, '/new', '/diary/plan', '/people', '/keys', '/me');
      const found = [];
      for (const path of paths) {
        if ((await open(path, cookie)).status === 200) found.push(path.split('/')[1] ?? '');
      }
      return found;
    };
    const work = ['care-day', 'today', 'cars', 'owners', 'tops'];
    expect(await opens('manager')).toEqual([...work, 'new', 'diary', 'people', 'keys', 'me']);
    expect(await opens('desk')).toEqual([...work, 'new', 'diary', 'me']);
    expect(await opens('fitter')).toEqual([...work, 'me']);
    expect(await opens('volunteer')).toEqual(['care-day', 'me']);
  });

  it('let a volunteer record nothing and read no letter', async () => {
    const { carId, ownerId } = await fitted(shop);
    const { cookie } = await comer(shop, 'volunteer');
    const before = await wholeDatabase(shop);
    for (const path of [
      `/cars/${carId}/position`,
      `/owners/${ownerId}`,
      `/owners/${ownerId}/links`,
    ]) {
      const form = { once: 'abcdefgh', position: 'folded' };
      const answer = await browse(shop, 'POST', path, form, { cookie, ...ORIGIN });
      expect([path, answer.status]).toEqual([path, 403]);
    }
    expect(await wholeDatabase(shop)).toBe(before);
  });

  it('show the care day without owners', async () => {
    const { topId } = await fitted(shop);
    const visit = { kind: 'lubrication', plannedOn: '2026-06-25' };
    const booked = await shop.post(`/v1/tops/${topId}/visits`, visit);
    expect([booked.status, booked.body.state]).toEqual([201, 'booked']);
    const { cookie } = await comer(shop, 'volunteer');
    const { html } = await open('/care-day', cookie);
    expect(html).toContain('FK 1');
    expect(html).not.toMatch(/Ada|example\.org/);
  });

  it('stay with one manager at the least, and end at once for whoever is parted with', async () => {
    const { cookie } = await comer(shop, 'manager');
    const own = /action="(\/people\/[^"]+)\/part"/.exec((await open('/people', cookie)).html)?.[1];
    const part = await press(cookie, '/people', `${own}/part`);
    expect([part.status, part.html.includes('only manager')]).toEqual([409, true]);
    const role = await press(cookie, '/people', `${own}/role`, { role: 'fitter' });
    expect(role.status).toBe(409);
    const other = await comer(shop, 'manager', 'second@example.org');
    expect((await press(cookie, '/people', `${own}/part`)).status).toBe(303);
    expect((await open('/today', cookie)).status).toBe(303);
    expect((await open('/people', other.cookie)).html).not.toContain('manager@example.org');
    // The address is free again, and what was done keeps its name.
    expect(JSON.stringify(await shop.context.store.records.person.findMany())).toContain('left:');
    await comer(shop, 'desk', 'manager@example.org');
  });
});
