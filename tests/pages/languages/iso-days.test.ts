import { expect, it } from 'vitest';
import { loadScenario, makeScenarioKeys } from '../../../src/usecases/scenario/load-scenario.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import { openWorkshop } from '../../setup/workshop.ts';
import { openDesk } from '../desk.ts';
import { crawl } from './crawl.ts';
import { textsOf } from './english-texts.ts';
import { sampleLetters } from '../../views/letters/sample-letters.ts';

const ISO_DAY = /\d{4}-\d{2}-\d{2}/;

/** Texts in which a day is written for programs. */
function isoDaysIn(html: string): string[] {
  return textsOf(html).filter((text) => ISO_DAY.test(text));
}

interface Letter {
  readonly kind: string;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

function isoDaysInLetter({ kind, subject, text, html }: Letter): string[] {
  return [subject, ...text.split('\n'), ...textsOf(html)]
    .filter((line) => ISO_DAY.test(line))
    .map((line) => `${kind}: ${line}`);
}

it.each(['en', 'de'])(
  'no page and no letter in %s writes a day as programs do',
  async (language) => {
    const house = await openWorkshop('2026-07-15T12:00:00.000Z');
    await loadScenario(house.context);
    await house.context.store.writeSql(async (sql) => {
      await sql.run(`UPDATE "organisation" SET "language" = '${language}'`, []);
      await sql.run(`UPDATE "owner" SET "language" = '${language}'`, []);
    });
    await planRound(house.context);
    const letters = await house.context.store.sql.all<Letter>(
      'SELECT "kind", "subject", "text", "html" FROM "letter"',
    );
    const seen = new Map<string, number>();
    const found: string[] = [];
    for (const { key } of await makeScenarioKeys(house.context)) {
      found.push(...(await crawl(await openDesk(house, key), seen, isoDaysIn)));
    }
    await house.close();
    expect(letters.length).toBeGreaterThan(5);
    expect([...new Set([...found, ...letters.flatMap(isoDaysInLetter)])].sort()).toEqual([]);
    expect(seen.size).toBeGreaterThan(30);
  },
);

it('no kind of letter does', () => {
  const letters = sampleLetters();
  expect(letters.flatMap(({ kind, letter }) => isoDaysInLetter({ kind, ...letter }))).toEqual([]);
  expect(letters.length).toBeGreaterThan(10);
});
