import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runnable } from '../setup/runnable.ts';
import type { Person, Post, Year } from './year.ts';
import { at, CHROMIUM, linkIn, openYear, told } from './year.ts';

const TABLE = [
  'Reg;Member;Mail;Hood fitted',
  'FK 11;Ada Quill;ada@example.org;10/07/2025',
  'FK 12;Bea Thorn;bea@example.org;12/07/2025',
  'FK 13;Cyd Latch;cyd@example.org;14/07/2025',
].join('\n');

describe.runIf(runnable('FOLDKEEP_BROWSER', [CHROMIUM]))('a club’s year', () => {
  let year: Year;
  let sue: Person;
  let ada: Person;
  let bea: Person;
  let vic: Person;
  beforeAll(async () => {
    year = await openYear('2026-05-04T09:00:00.000Z');
    sue = await year.person('sue@example.org', 1280);
    ada = await year.person('ada@example.org', 390, { script: false });
    bea = await year.person('bea@example.org', 390, { script: false });
    vic = await year.person('vic@example.org', 768);
  });
  afterAll(() => year.close());

  const to = (person: Person) => year.post().filter((one) => one.to === person.email);
  const choose = (person: Person) => to(person).findLast(({ text }) => /\/d\//.test(text)) as Post;

  it('begins with its own sign-in and takes its members in from their list', async () => {
    const { page } = sue;
    await year.comeIn(sue, (await year.app.firstLink()) ?? '', async () => {
      await page.getByLabel('Name that letters come from').fill('The Rim Oilers');
      await page.getByLabel('What it is').selectOption('club');
      await page.getByLabel('Your name').fill('Sue Rivet');
      await page.getByLabel('Your address').fill(sue.email);
    });
    await year.open(sue, '/home');
    expect(page.url()).toBe(`${year.base}/members`);
    await year.open(sue, '/import');
    await page.getByLabel('The file').setInputFiles({
      name: 'members.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(TABLE),
    });
    await at(sue).press('Look at it');
    for (const column of ['all/framePattern', 'all/material', 'all/window']) {
      const value = { 'all/framePattern': 'two-seat-manual', 'all/material': 'cloth' }[column];
      await page.locator(`select[name="${column}"]`).selectOption(value ?? 'glass');
    }
    await at(sue).press('Look again');
    await at(sue).press('Take in 3 lines');
    await year.open(sue, '/members');
    expect(await at(sue).says()).toContain('3 members.');
    expect(await at(sue).says()).toContain('FK 11 due July 2026');
  });

  it('asks its members to a care day, and they choose, move and wait by the link of a letter', async () => {
    const { page } = sue;
    await year.open(sue, '/care-day/new');
    const fill = async (said: Record<string, string>) => {
      for (const [name, value] of Object.entries(said)) await page.locator(`#${name}`).fill(value);
      await at(sue).press('Keep this');
    };
    await fill({
      heldOn: '2026-07-11',
      place: 'The yard behind the library',
      from: '09:00',
      until: '10:00',
      benches: '1',
      breaks: 'half past',
      handMinutes: '30',
      stepMinutes: '30',
      helpers: 'Vic Helper',
    });
    expect(await page.getByRole('alert').textContent()).toContain('is no pause');
    await fill({ breaks: '' });
    expect(await at(sue).says()).toContain('The day is planned. Nobody is asked yet');
    for (const box of await page.locator('#cars input').all()) await box.check();
    await at(sue).press('Ask these');
    await at(sue).press('Ask them');
    expect(await at(sue).says()).toContain('They are asked.');
    await year.until('2026-05-05T12:00:00.000Z');
    expect(told(to(ada))).toEqual(['2026-05-04 FK 11: choose a time for the care day']);

    await year.open(ada, linkIn(choose(ada), /\/d\//));
    await ada.page.locator('button[value="09:00"]').click();
    expect(await at(ada).says()).toContain('The time is yours.');
    await year.open(bea, linkIn(choose(bea), /\/d\//));
    expect(await bea.page.locator('button[name=time]').allTextContents()).toEqual(['09:30']);
    await bea.page.locator('button[name=time]').first().click();
    const cyd = await year.person('cyd@example.org', 390, { script: false });
    await year.open(cyd, linkIn(choose(cyd), /\/d\//));
    expect(await at(cyd).says()).toContain('All times that are long enough for FK 13 are taken.');
    await at(cyd).press('Put me on the waiting list');
    // Bea gives her time back, and Cyd is asked at once.
    await year.open(bea, linkIn(choose(bea), /\/d\//));
    await at(bea).press('Give the time back');
    await year.until('2026-05-06T12:00:00.000Z');
    await year.open(cyd, linkIn(choose(cyd), /\/d\//));
    await cyd.page.locator('button[name=time]').first().click();
    expect(await at(cyd).says()).toContain('We expect FK 13 at 09:30');
    await year.open(sue, page.url().split('?')[0] ?? '');
    const rota = await at(sue).says();
    expect(rota).toMatch(/09:00–09:30 FK 11 ?Ada Quill .*09:30–10:00 FK 13 ?Cyd Latch/);
  });

  it('lets a volunteer write down at the bench what is found, and put it right', async () => {
    const day = sue.page.url();
    await year.open(sue, '/people');
    await sue.page.getByLabel('Name', { exact: true }).fill('Vic Helper');
    await sue.page.getByLabel('Address', { exact: true }).fill(vic.email);
    await sue.page
      .getByRole('radio', { name: /^Volunteer/ })
      .last()
      .check();
    await at(sue).press('Invite');
    const link = /https?:\/\/\S+\/join\/[\w-]+/.exec(await at(sue).says())?.[0] ?? '';
    await year.comeIn(vic, link, async () => {});
    await year.until('2026-07-11T08:30:00.000Z');
    await year.open(vic, day);
    await at(vic).follow('Write down: FK 11');
    const row = vic.page.locator('details', { has: vic.page.locator('input[value="L-LINK1"]') });
    await row.locator('summary').click();
    await row.getByLabel('Found').selectOption('stiff');
    await at(vic).press('Record the visit');
    await vic.page.waitForURL(/done=recorded$/);
    expect(await at(vic).says()).toContain('Written down, with your name.');
    await at(vic).follow('Put right: FK 11');
    await vic.page.getByLabel('Minutes it took').fill('25');
    await at(vic).press('Keep this');
    await vic.page.waitForURL(/done=recorded$/);
    await at(vic).follow('Write down: FK 13');
    await at(vic).press('Record the visit');
    await vic.page.waitForURL(/done=recorded$/);
    const reports = await year.until('2026-07-12T12:00:00.000Z');
    expect(told(reports).toSorted()).toEqual([
      '2026-07-11 FK 11: what we found on your top',
      '2026-07-11 FK 13: what we found on your top',
      '2026-07-12 FK 12: the pivots are due for oil',
    ]);
    await year.open(sue, `${day}/result`);
    expect(await at(sue).says()).toMatch(/FK 11.*FK 13/);
  });

  it('writes to those who agreed, and sees no position that a member did not share', async () => {
    // The card for her car is handed to her: what she says through it is hers to share.
    await year.open(sue, '/members');
    await at(sue).follow('Ada Quill');
    await sue.page.getByText('A link to log with').first().scrollIntoViewIfNeeded();
    await at(sue).press('Make a link');
    const card = /https?:\/\/\S+\/o\/[\w-]+/.exec(await at(sue).says())?.[0] ?? '';
    await year.open(ada, card);
    await ada.page.getByText('It was earlier, or something else').click();
    await ada.page.getByRole('radio', { name: 'folded', exact: true }).check();
    await at(ada).press('Write it down');
    expect(await at(ada).says()).toContain('Noted: folded.');
    await year.open(bea, linkIn(to(bea).find(({ text }) => text.includes('/u/')) as Post, /\/u\//));
    await at(bea).press('Send me the letters of the club');
    await year.open(sue, '/club-letters');
    await sue.page.locator('#subject').fill('Autumn meeting on 9 October');
    await sue.page.locator('#text').fill('We meet at seven.\n\nWho brings a cake?');
    await at(sue).press('Keep as a draft');
    expect(await at(sue).says()).toContain('It would reach one member.');
    await at(sue).press('Send it');
    await at(sue).press('Send it');
    const came = await year.until('2026-07-16T12:00:00.000Z');
    expect(came.filter(({ subject }) => subject.includes('Autumn')).map((one) => one.to)).toEqual([
      bea.email,
    ]);
    // The alarms reach her, and nobody of the club.
    expect(came.filter((one) => one.to === ada.email).length).toBeGreaterThanOrEqual(2);
    await year.open(sue, '/today');
    expect(await at(sue).says()).toContain('No car is near its limit.');
    for (const path of ['/letters', '/coming-letters', '/calls', '/trail']) {
      await year.open(sue, path);
      const tells = /folded limit|folded too long|still folded|is folded/i;
      expect([path, tells.test(await at(sue).says())]).toEqual([path, false]);
    }
  });

  it('asks again a year later, and the second oiling is written down', async () => {
    const letters = await year.until('2027-07-12T12:00:00.000Z');
    expect(told(letters).join()).toContain('FK 11: the pivots are due for oil');
    await year.open(sue, '/tops');
    await at(sue).follow(/FK 11/);
    await at(sue).follow('Record an oiling');
    await at(sue).press('Record the visit');
    await sue.page.waitForURL(/done=visit$/);
    await year.open(sue, '/members');
    expect(await at(sue).says()).toMatch(/FK 11 due July 2028/);
    for (const { text } of year.post()) expect(text).not.toMatch(/undefined|\bNaN\b/);
  });
});
