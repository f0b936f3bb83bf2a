import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runnable } from '../setup/runnable.ts';
import type { Person, Post, Year } from './year.ts';
import { CHROMIUM, linkIn, openYear, told, words } from './year.ts';

const WIDE = 390;

describe.runIf(runnable('FOLDKEEP_BROWSER', [CHROMIUM]))('a private owner’s year', () => {
  let year: Year;
  let ada: Person;
  beforeAll(async () => {
    year = await openYear('2026-04-02T09:00:00.000Z');
    ada = await year.person('ada@example.org', WIDE);
  });
  afterAll(() => year.close());

  const press = (name: string | RegExp) => ada.page.getByRole('button', { name }).first().click();
  const follow = (name: string | RegExp) => ada.page.getByRole('link', { name }).first().click();
  const mine = () => year.open(ada, '/mine');
  const says = () => words(ada.page);

  it('begins with her own sign-in and a car, though she mistypes it', async () => {
    const page = ada.page;
    await year.comeIn(ada, (await year.app.firstLink()) ?? '', async () => {
      await page.getByLabel('Name that letters come from').fill('Ada Quill');
      await page.getByLabel('What it is').selectOption('private');
      await page.getByLabel('Your name').fill('Ada Quill');
      await page.getByLabel('Your address').fill(ada.email);
    });
    expect(page.url()).toBe(`${year.base}/start`);
    await mine();
    expect(await says()).toContain('No car of yours is recorded here yet.');
    await follow('Add a car');
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('Ada Quill');
    expect(await page.getByLabel('Address for letters').inputValue()).toBe(ada.email);
    await page.getByLabel('Registration', { exact: true }).fill('FK 81');
    await page.getByLabel('Fitted on').fill('2019-01-01');
    await page.getByLabel('Frame').selectOption({ label: 'Two seats, folded by hand, 12 pivots' });
    await page.locator('select[name="window"]').selectOption('glass');
    await press('Keep it');
    expect(await page.getByRole('alert').textContent()).toContain('Cover: Choose one of the list.');
    expect(await page.getByLabel('Registration', { exact: true }).inputValue()).toBe('FK 81');
    await page.locator('select[name="cover/material"]').selectOption('cloth');
    await press('Keep it');
    expect(page.url()).toBe(`${year.base}/mine`);
    await follow('History and letters');
    await follow('Put right');
    await page.getByLabel('Registration', { exact: true }).fill('FK 18');
    await press(/Keep|Put/);
    await mine();
    expect(await says()).toContain('FK 18');
    expect(await says()).not.toContain('FK 81');
  });

  it('counts her first oiling from the day it was done, and takes back a press by mistake', async () => {
    await mine();
    expect(await says()).toContain('The pivots wait for oil They were due on Wednesday, 1 January');
    await ada.page.locator('select[name=place]').selectOption('street');
    await ada.page.locator('select[name=salt]').selectOption('none');
    await ada.page.locator('select[name=use]').selectOption('summer');
    await press('Keep it');
    expect(await says()).not.toContain('How is it kept?');
    await press('I oiled the pivots today');
    expect(await says()).toContain('Oiled on Thursday, 2 April 2026.');
    await press('That was wrong');
    expect(await says()).toContain('The pivots wait for oil');
    year.at('2026-04-05T15:00:00.000Z');
    await mine();
    await press('I oiled the pivots today');
    expect(await says()).toMatch(
      /The pivots have oil Oiled on Sunday, 5 April 2026\. Next oil .*5 April 2027/,
    );
  });

  it('is told once that the top stands folded too long, and puts the hour right that she mistyped', async () => {
    const quiet = await year.until('2026-05-01T09:00:00.000Z');
    expect(quiet.map(({ subject }) => subject).join()).not.toMatch(/oil|folded/i);
    await mine();
    expect(await says()).toContain('Nobody has said yet where the top is');
    await ada.page.getByText('It was earlier, or something else').click();
    await ada.page.getByRole('radio', { name: 'folded', exact: true }).check();
    await ada.page.locator('input[name=when]').first().fill('2026-05-02T10:00');
    await press('Write it down');
    expect(await says()).toContain(
      'That time does not exist, is still to come or lies long before',
    );
    await mine();
    await ada.page.getByText('It was earlier, or something else').click();
    await ada.page.getByRole('radio', { name: 'folded', exact: true }).check();
    await press('Write it down');
    expect(await says()).toContain('Noted: folded. Fit its cover before you drive off.');
    expect(await says()).toContain('3 days left');

    const alarms = await year.until('2026-05-04T12:00:00.000Z');
    expect(told(alarms)).toEqual([
      '2026-05-03 A word about your top',
      '2026-05-04 Your top needs a few minutes of your time',
    ]);
    // A locked screen says nothing of where the car stands.
    for (const { subject } of alarms) expect(subject).not.toMatch(/folded|raised/i);
    expect(alarms.at(-1)?.text).toContain('Raise');
    // She raised it the evening before, and only now presses the link in the letter.
    const page = ada.page;
    await page.goto(linkIn(alarms.at(-1) as Post, /\/o\//));
    await press('I raised it');
    expect(await says()).toContain('Noted: raised.');
    const raised = page.locator('li', { hasText: 'raised' }).first();
    await raised.getByText('Put right').click();
    await raised.locator('input[name=when]').fill('2026-05-03T18:30');
    await raised.getByRole('button', { name: 'Put it right' }).click();
    expect(await says()).toContain('Put right. The wrong entry stays in the log');
    await mine();
    expect(await says()).toContain('The top is raised since Sunday 18:30');
    const after = await year.until('2026-05-20T09:00:00.000Z');
    expect(after.map(({ text }) => text).join()).not.toContain('Raise it');
  });

  it('hears within the day of a top that went down damp, and stops the notes that she does not want', async () => {
    year.at('2026-06-10T09:00:00.000Z');
    await mine();
    await ada.page.getByLabel('It was damp').first().check();
    await press('I folded it');
    expect(await says()).toContain('1 day');
    const [alarm] = await year.until('2026-06-10T18:00:00.000Z');
    expect(alarm?.text).toContain('damp');
    await mine();
    await ada.page.getByLabel('It is still damp').first().check();
    await press('I raised it');
    // Twelve hours count as drying; before that she may say it.
    year.at('2026-06-11T05:00:00.000Z');
    await mine();
    await press('It is dry now');
    const care = (await year.until('2026-07-15T09:00:00.000Z')).at(-1) as Post;
    await ada.page.goto(linkIn(care, /\/u\//));
    expect(await says()).toContain('Opening this page has changed nothing');
    await press('Stop this sort');
    expect(await says()).toContain('Done: this sort of letter is stopped.');
    expect(told(await year.until('2026-09-20T09:00:00.000Z'))).toEqual([]);
  });

  it('finds a stiff joint, names the wrong side, and puts the right one in its place', async () => {
    await mine();
    await follow('Record what you found and did');
    const page = ada.page;
    const joint = (code: string) =>
      page.locator('details', { has: page.locator(`input[value="${code}"]`) });
    const findStiff = async (code: string) => {
      await joint(code).locator('summary').click();
      await joint(code).getByLabel('Found').selectOption('stiff');
      await joint(code).getByLabel('Oil').selectOption('oiled');
    };
    await page.getByRole('radio', { name: /^look/ }).check();
    await page.getByText('Not looked at').click();
    await findStiff('R-LINK1');
    await press('Record the visit');
    await ada.page.waitForURL(/done=visit$/);
    expect(await says()).toContain('right link pivot 1');
    await follow('Put it right');
    await joint('R-LINK1').getByLabel('Found').selectOption('');
    await joint('R-LINK1').getByLabel('Oil').selectOption('');
    await findStiff('L-LINK1');
    await press('Keep this');
    await page.waitForURL(/done=corrected$/);
    expect(await says()).toContain('left link pivot 1');
    await mine();
    // A joint that was stiff wants oil again after half the time: that comes before a second look.
    expect(await says()).toContain('only with care (left link pivot 1: stiff)');
    expect(await says()).toContain('Time to oil the pivots Due on Monday, 5 October 2026');
  });

  it('is told in time of the second oiling, does it, and hears no more of it', async () => {
    expect(told(await year.until('2026-10-10T10:00:00.000Z'))).toEqual([
      '2026-09-20 FK 18: the pivots want oil soon',
      '2026-10-05 FK 18: the pivots are due for oil',
    ]);
    await mine();
    await follow('Record what you found and did');
    await press('Record the visit');
    await ada.page.waitForURL(/done=visit$/);
    await mine();
    expect(await says()).toContain('The pivots have oil Oiled on Saturday, 10 October 2026.');
    expect(await says()).not.toContain('only with care');
    expect(told(await year.until('2026-11-20T09:00:00.000Z'))).toEqual([]);
  });

  it('lies under its hard top for the winter, and is written to in German from then on', async () => {
    year.at('2026-11-20T09:00:00.000Z');
    await mine();
    await ada.page.getByText('It was earlier, or something else').click();
    await ada.page.getByRole('radio', { name: 'folded under the hard top' }).first().check();
    await press('Write it down');
    expect(await says()).toContain('Noted: folded under the hard top.');
    await mine();
    await follow(/History and letters|Verlauf/);
    await ada.page.getByRole('link', { name: 'Owner', exact: true }).click();
    await ada.page.getByLabel('Language of letters').selectOption('de');
    await press(/Keep/);
    await year.open(ada, '/settings');
    await ada.page.getByLabel('Language', { exact: true }).fill('de');
    await press('Keep this');
    await mine();
    expect(await says()).toContain('Guten Tag, Ada Quill');
    expect(told(await year.until('2027-03-01T09:00:00.000Z'))).toEqual([]);
  });

  it('is told of the next oiling in German, once a step and never twice a day', async () => {
    const letters = await year.until('2027-10-11T09:00:00.000Z');
    expect(told(letters)).toEqual([
      '2027-09-12 FK 18: Die Gelenke brauchen bald Öl',
      '2027-10-10 FK 18: Die Gelenke brauchen Öl',
    ]);
    await ada.page.goto(linkIn(letters.at(-1) as Post, /\/o\//));
    await press('Ich habe heute die Gelenke geölt');
    expect(await says()).toContain('Die Gelenke sind geölt Geölt: Montag, 11. Oktober 2027.');
    const days = year.post().map(({ on }) => on);
    expect(new Set(days).size).toBe(days.length);
    for (const { text } of year.post()) expect(text).not.toMatch(/undefined|\bNaN\b/);
  });
});
