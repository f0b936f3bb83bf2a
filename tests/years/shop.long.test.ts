import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runnable } from '../setup/runnable.ts';
import type { Person, Post, Year } from './year.ts';
import { at, CHROMIUM, linkIn, openYear, told } from './year.ts';

describe.runIf(runnable('FOLDKEEP_BROWSER', [CHROMIUM]))('a shop’s year', () => {
  let year: Year;
  let mia: Person;
  let ada: Person;
  beforeAll(async () => {
    // A Thursday, four days before Easter Monday.
    year = await openYear('2026-04-02T09:00:00.000Z');
    mia = await year.person('mia@example.org', 1280);
    ada = await year.person('ada@example.org', 390, { script: false });
  });
  afterAll(() => year.close());

  /** Opens the page of the one car in care. */
  const theCar = async () => {
    await year.open(mia, '/tops');
    await at(mia).follow(/FK 1/);
  };
  const joint = (code: string) =>
    mia.page.locator('details', { has: mia.page.locator(`input[value="${code}"]`) });
  const find = async (code: string, state: string) => {
    const row = joint(code);
    if (!(await row.getByLabel('Found').isVisible())) await row.locator('summary').click();
    await row.getByLabel('Found').selectOption(state);
  };

  it('begins with the link of the first start, and says what is still missing until it is set up', async () => {
    const { page } = mia;
    await year.comeIn(mia, (await year.app.firstLink()) ?? '', async () => {
      await page.getByLabel('Name that letters come from').fill('Elmyard Soft Tops');
      await page.getByLabel('Your name').fill('Mia Bench');
      await page.getByLabel('Your address').fill(mia.email);
    });
    expect(await at(mia).says()).toContain('4 steps are still open.');
    await page.getByLabel('Mail address for answers').fill('desk@example.org');
    await page.getByLabel('Telephone', { exact: true }).fill('01632 960100');
    await page.getByLabel('Postal address').fill('1 Elm Yard');
    await at(mia).press('Keep this');
    await at(mia).press('Send a trial letter');
    await at(mia).follow('Hours, closures, holidays');
    await page.locator('select[name="place/country"]').selectOption('GB');
    await page.locator('form[action="/diary/settings"] button[type=submit]').first().click();
    await year.open(mia, '/start');
    expect(await at(mia).says()).toContain('One step is still open.');
    await at(mia).follow('A first car');
    await page.getByLabel('Name', { exact: true }).fill('Ada Quill');
    await page.getByLabel('Address for letters').fill('ada.quill@example.net');
    await page.locator('main').getByLabel('Registration', { exact: true }).fill('FK 1');
    await page.locator('select[name="keeping/place"]').selectOption('outdoors');
    await page.locator('select[name="keeping/salt"]').selectOption('none');
    await page.locator('select[name="keeping/use"]').selectOption('summer');
    await page.getByLabel('Fitted on').fill('2025-04-20');
    await page.getByLabel('Frame').selectOption({ label: 'Two seats, folded by hand, 12 pivots' });
    await page.locator('select[name="cover/material"]').selectOption('cloth');
    await page.locator('select[name="window"]').selectOption('glass');
    await at(mia).press('Take it into care');
    expect(await at(mia).says()).toContain('The car is in care.');
    await year.open(mia, '/start');
    expect(await at(mia).says()).toContain('Everything is set up.');
  });

  it('writes to the right address after the wrong one was put right, and offers no day that is shut', async () => {
    await theCar();
    await at(mia).follow('History of the car');
    await mia.page.getByRole('link', { name: 'Owner', exact: true }).click();
    await mia.page.getByLabel('Address for letters').fill(ada.email);
    await at(mia).press('Keep this');
    const came = await year.until('2026-04-03T09:00:00.000Z');
    const letters = came.filter(({ subject }) => subject !== 'A trial letter');
    expect(letters.map(({ to, subject }) => `${to}: ${subject}`)).toEqual([
      'ada@example.org: FK 1: the pivots want oil soon',
    ]);
    await year.open(ada, linkIn(letters[0] as Post, /\/b\//));
    const days = await ada.page.locator('button[name=day]').allTextContents();
    // Good Friday, the weekend and Easter Monday are no working days: three of those lie before.
    expect(days[0]).toContain('9 April');
    await ada.page.locator('button[name=day]').first().click();
    expect(await at(ada).says()).toContain('9 April');
    const [booked] = await year.until('2026-04-03T18:00:00.000Z');
    expect(booked?.subject).toContain('FK 1');
    expect(booked?.text).toContain('9 April 2026');
  });

  it('sees the visit on its day, records it for the wrong side, takes it back and puts it right', async () => {
    expect(told(await year.until('2026-04-09T07:00:00.000Z'))).toEqual([]);
    await year.open(mia, '/today');
    expect(await at(mia).says()).toContain('FK 1');
    await theCar();
    await at(mia).follow(/took place|Done|Complete/);
    await at(mia).follow('It took place: record it');
    await find('R-LINK1', 'stiff');
    await at(mia).press('Record the visit');
    await mia.page.waitForURL(/done=visit$/);
    expect(await at(mia).says()).toContain('right link pivot 1stiff');
    await at(mia).follow('Put it right');
    await find('R-LINK1', 'free');
    await find('L-LINK1', 'stiff');
    await at(mia).press('Keep this');
    await at(mia).press('Put it right');
    await mia.page.waitForURL(/done=corrected$/);
    expect(await at(mia).says()).toContain('The visit is put right.');
    const [report, ...more] = await year.until('2026-04-10T09:00:00.000Z');
    expect(report?.subject).toContain('FK 1');
    expect(report?.text).toContain('left link');
    expect(report?.text).not.toContain('right link');
    expect(more).toEqual([]);
  });

  it('asks for a second look at the stiff joint, and the owner folds her top meanwhile', async () => {
    const letters = await year.until('2026-06-20T09:00:00.000Z');
    expect(told(letters).filter((one) => one.includes('FK 1'))).toEqual([
      '2026-05-07 FK 1: a second look at the joints is due',
      '2026-06-11 FK 1: the second look at the joints is still open',
    ]);
    await year.open(mia, '/calls');
    expect(await at(mia).says()).toContain('FK 1');
    await theCar();
    await at(mia).follow('Record another visit');
    await mia.page.getByRole('radio', { name: /^look/ }).check();
    await mia.page.getByText('All looked at, not oiled').click();
    await at(mia).press('Record the visit');
    await mia.page.waitForURL(/done=visit$/);
    await year.open(
      ada,
      linkIn(year.post().find(({ text }) => text.includes('/o/')) as Post, /\/o\//),
    );
    await ada.page.getByText('It was earlier, or something else').click();
    await ada.page.getByRole('radio', { name: 'folded', exact: true }).check();
    await at(ada).press('Write it down');
    expect(await at(ada).says()).toContain('Noted: folded.');
    const alarms = (await year.until('2026-06-23T10:00:00.000Z')).filter(
      ({ to }) => to === ada.email,
    );
    expect(told(alarms)).toEqual([
      '2026-06-20 FK 1: what we found on your top',
      '2026-06-22 A word about your top',
      '2026-06-23 Your top needs a few minutes of your time',
    ]);
    await year.open(mia, '/today');
    expect(await at(mia).says()).toMatch(/Folded too long, or soon .*FK 1/);
    await year.open(ada, linkIn(alarms.at(-1) as Post, /\/o\//));
    await at(ada).press('I raised it');
    await year.open(mia, '/today');
    expect(await at(mia).says()).toContain('No car is near its limit.');
  });

  it('writes when the oil falls due again, rings when nothing comes of it, and books by telephone', async () => {
    const letters = await year.until('2027-06-12T09:00:00.000Z');
    expect(told(letters).filter((one) => one.includes('FK 1'))).toEqual([
      '2027-03-12 FK 1: the pivots want oil soon',
      '2027-04-09 FK 1: the pivots are due for oil',
      '2027-04-30 FK 1: the pivots are still waiting for oil',
      '2027-06-08 FK 1: the pivots are still waiting for oil',
    ]);
    await year.open(mia, '/calls');
    expect(await at(mia).says()).toContain('FK 1');
    await theCar();
    await at(mia).follow('Book a visit');
    await mia.page.locator('input[name=on]').fill('2027-06-27');
    await at(mia).press('Book this day');
    expect(await mia.page.getByRole('alert').textContent()).toContain('closed');
    await mia.page.locator('input[name=on]').fill('2027-06-29');
    await at(mia).press('Book this day');
    await theCar();
    await at(mia).follow(/took place|Done|Complete/);
    await mia.page.locator('input[name=on]').fill('2027-06-30');
    await at(mia).press('Move it to this day');
    expect(await at(mia).says()).toContain('Written anew: word of a booked visit');
    await at(mia).press('Move it');
    const booked = await year.until('2027-06-30T15:00:00.000Z');
    expect(told(booked)[0]).toBe(
      '2027-06-12 FK 1: your visit is booked, Wednesday, 30 June 2027 at 08:00',
    );
    await theCar();
    await at(mia).follow(/took place|Done|Complete/);
    await at(mia).follow('It took place: record it');
    await at(mia).press('Record the visit');
    await mia.page.waitForURL(/done=visit$/);
    await theCar();
    expect(await at(mia).says()).toContain('30 June 2028');
    const after = await year.until('2027-07-20T09:00:00.000Z');
    expect(told(after).filter((one) => one.includes('FK 1'))).toEqual([
      '2027-06-30 FK 1: what we found on your top',
    ]);
    const days = year
      .post()
      .filter(({ to, subject }) => to === ada.email && !/your top needs|A word about/.test(subject))
      .map(({ on }) => on);
    expect(new Set(days).size).toBe(days.length);
    for (const { text } of year.post()) expect(text).not.toMatch(/undefined|\bNaN\b/);
  });
});
