import { expect, it } from 'vitest';
import { makeScenarioKeys } from '../../../src/usecases/scenario/load-scenario.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import { workshopOfScenario } from '../../setup/loaded-scenario.ts';
import { openDesk } from '../desk.ts';
import { crawl } from './crawl.ts';
import type { ReadLetter } from './iso-days.ts';
import { isoDaysIn, isoDaysInLetter } from './iso-days.ts';
import { wholeLetters } from '../../setup/stored-letters.ts';

it.each(['en', 'de'])(
  'no page and no letter in %s writes a day as programs do',
  async (language) => {
    const house = await workshopOfScenario('2026-07-15T12:00:00.000Z');
    await house.context.store.writeSql(async (sql) => {
      await sql.run(`UPDATE "organisation" SET "language" = '${language}'`, []);
      await sql.run(`UPDATE "owner" SET "language" = '${language}'`, []);
    });
    await planRound(house.context);
    const letters: ReadLetter[] = await wholeLetters(house.context.store.sql);
    const seen = new Map<string, number>();
    const found: string[] = [];
    for (const { key } of await makeScenarioKeys(house.context)) {
      found.push(...(await crawl(await openDesk(house, key), seen, isoDaysIn, 4)));
    }
    await house.close();
    expect(letters.length).toBeGreaterThan(5);
    expect([...new Set([...found, ...letters.flatMap(isoDaysInLetter)])].sort()).toEqual([]);
    expect(seen.size).toBeGreaterThan(30);
  },
);
