import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { lifePlot } from '../../src/http/pages/lives/life-plot.ts';
import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { browse } from './link-for.ts';

const text = (html: string) => html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ');

describe('the page of how long washers last', () => {
  let shop: Workshop;
  const open = async (url: string, key = shop.key) => {
    const session = await signIn(shop.context, key);
    const cookie = `__Host-foldkeep=${session.kind === 'signed-in' ? session.token : ''}`;
    return browse(shop, 'GET', url, undefined, { cookie });
  };

  beforeAll(async () => {
    shop = await openWorkshop('2026-06-08T08:00:00.000Z');
    const pivots = [{ code: 'L-MAIN', side: 'L', kind: 'main', washersExpected: 1 }];
    await shop.post('/v1/frame-patterns', { name: 'one-joint', pivots });
    // Seen in place on the first day, missed on the second; invented.
    const lives = [[200, 500], [400, 800], [500, 900], [600, 900], [700, 1100], [1000], [1200]];
    for (const days of lives) {
      const { topId } = await fitted(shop, {
        top: { fittedOn: '2023-01-01', framePattern: 'one-joint' },
      });
      for (const [i, day] of days.entries()) {
        const doneOn = new Date(Date.UTC(2023, 0, 1 + day)).toISOString().slice(0, 10);
        const reading = { pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent: 1 - i };
        const visit = { kind: 'lubrication', doneOn, readings: [reading] };
        const { status } = await shop.post(`/v1/tops/${topId}/visits`, visit);
        if (status !== 201) throw new Error(`visit on ${doneOn} was refused`);
      }
    }
  });
  afterAll(() => shop.close());

  it('says in words what the plot shows, with the range and the figures behind it', async () => {
    const { status, html } = await open('/washers');
    expect(status).toBe(200);
    const words = text(html);
    expect(words).toContain('one-joint 5 of 7 washers were found lost.');
    expect(words).toMatch(/Half were gone between 1\.\d years and 2\.\d years after fitting\./);
    expect(words).toMatch(/They wear out: the older, the likelier lost \(shape .* from 7 cars\)/);
    expect(html).toMatch(/<path class="band" d="M[\d. LM]+Z"\/>/);
    expect(html).toMatch(/<path class="fit" d="M/);
    expect(words).toMatch(/1 year \d+ % \d+ % to \d+ %/);
    expect(words).toContain('found at a visit');
    expect((await open('/tops')).html).toContain('href="/washers"');
  });

  it('names the classes where they are asked for', async () => {
    const words = text((await open('/washers?by=exposure')).html);
    expect(words).toMatch(/Class C\d 5 of 7 washers/);
  });

  it('is empty for another organisation, and closed to who is not signed in', async () => {
    const { html } = await open('/washers', await shop.keyFor('Another Club'));
    expect(text(html)).toContain('No washers are recorded here yet.');
    expect((await browse(shop, 'GET', '/washers')).status).toBe(303);
  });
});

describe('the plot', () => {
  it('draws a box where washers went unseen, and level lines where the share is known', () => {
    const steps = [
      { after: 0, by: 730.5, share: 0.25, survival: 0.75 },
      { after: 1461, by: null, share: 0.75, survival: 0 },
    ];
    const { unknown, known, band, fit, years } = lifePlot({ steps, band: [] });
    expect(unknown).toEqual([{ x: '44', y: '12', width: '154', height: '42' }]);
    expect(known).toBe('M44 12H44M198 54H352');
    expect([band, fit]).toEqual(['', '']);
    expect(years.map(({ word }) => word)).toEqual(['0', '1', '2', '3', '4']);
  });
});
