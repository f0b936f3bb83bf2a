import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  isScenarioLoaded,
  makeScenarioKeys,
  type ScenarioKey,
} from '../../../src/usecases/scenario/load-scenario.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import { workshopOfScenario } from '../../setup/loaded-scenario.ts';
import { fitted, openWorkshop, type Workshop } from '../../setup/workshop.ts';
import { openDesk } from '../desk.ts';
import { crawl } from './crawl.ts';
import { isEnglish, textsOf } from './english-texts.ts';
import type { ReadLetter } from './iso-days.ts';
import { isoDaysIn, isoDaysInLetter } from './iso-days.ts';
import { wholeLetters } from '../../setup/stored-letters.ts';

/** How much is read: pages of a kind, and the talk about every nth fault. */
export interface PagesRead {
  readonly ofAKind: number;
  readonly everyFault: number;
  /** What counts as a kind of page. */
  readonly kindOf: (url: string) => string;
}

/** Tries that the pages of a German organisation speak German alone, and write days as people do. */
export function tryGermanPages({ ofAKind, everyFault, kindOf }: PagesRead): void {
  describe('the demo of a German house', () => {
    let house: Workshop;
    let keys: readonly ScenarioKey[];
    const seen = new Map<string, number>();
    beforeAll(async () => {
      house = await workshopOfScenario('2026-07-15T12:00:00.000Z');
      // Their own language has what the shop's page holds ready for owners, and what was estimated for them.
      await house.context.store.writeSql(async (sql) => {
        await sql.run(`UPDATE "organisation" SET "language" = 'de'`, []);
        await sql.run(
          `UPDATE "owner" SET "language" = 'de' WHERE "id" NOT IN (SELECT "ownerId" FROM "estimate")`,
          [],
        );
      });
      await planRound(house.context);
      keys = await makeScenarioKeys(house.context);
    });
    afterAll(() => house.close());

    // What one has shown the next need not show again, so that each kind of page is read once.
    it.each(['shop', 'club', 'private'] as const)(
      'speaks German alone to a %s, and writes no day as programs do',
      async (kind) => {
        expect(await isScenarioLoaded(house.context)).toBe(true);
        const own = keys.filter((one) => one.kind === kind);
        expect(own.length).toBeGreaterThan(0);
        const found: string[] = [];
        for (const { key } of own) {
          const desk = await openDesk(house, key);
          const inGerman = (html: string) =>
            html.includes('<html lang="de">') ? textsOf(html).filter(isEnglish) : [];
          const wrong = (html: string) => [...inGerman(html), ...isoDaysIn(html)];
          found.push(...(await crawl(desk, seen, wrong, ofAKind, kindOf)));
        }
        expect(found).toEqual([]);
      },
    );

    it('in more than thirty kinds of pages', () => {
      expect(seen.size).toBeGreaterThan(30);
    });

    it('has no letter with a day as programs write it', async () => {
      const letters: ReadLetter[] = await wholeLetters(house.context.store.sql);
      expect(letters.flatMap(isoDaysInLetter)).toEqual([]);
      expect(letters.length).toBeGreaterThan(5);
    });
  });

  it('speak German alone in the talk, whatever is ticked, and in the work that it comes to', async () => {
    const shop = await openWorkshop('2026-06-12T09:00:00.000Z');
    const ids = await fitted(shop, { top: { fittedOn: '2025-06-10', powered: true } });
    await shop.context.store.writeSql((sql) =>
      sql.run(`UPDATE "organisation" SET "language" = 'de'`, []),
    );
    const desk = await openDesk(shop);
    const talk = `/cars/${ids.carId}/fault-finding`;
    const english: string[] = [];
    const read = (url: string, html: string) =>
      english.push(
        ...textsOf(html)
          .filter(isEnglish)
          .map((text) => `${url}: ${text}`),
      );
    for (const { sign, proof } of FAULTS.filter((_, at) => at % everyFault === 0)) {
      for (const asked of [
        `?${sign}=yes`,
        `?${sign}=yes&${proof}=yes`,
        `?${sign}=no&${proof}=yes`,
      ]) {
        read(asked, (await desk.open(`/fault-finding${asked}`)).html);
      }
    }
    const found = await desk.open(`${talk}?gap-and-clack=yes&washer-count-short=yes`);
    read(talk, found.html);
    await desk.send(found, `${talk}/work`, { 'at/washers-missing/L-MAIN': 'yes' });
    read('work', (await desk.open(`/cars/${ids.carId}/work?done=plan`)).html);
    const [visit] = (await shop.get(`/v1/tops/${ids.topId}/visits`)).body.items;
    await shop.close();
    expect([...new Set(english)]).toEqual([]);
    expect(visit.findings[0]).toMatchObject({ text: 'fehlende Unterlegscheiben (erwiesen)' });
  });
}
