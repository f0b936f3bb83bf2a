import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { pageWords } from '../../../src/views/words/voice.ts';
import {
  isScenarioLoaded,
  loadScenario,
  makeScenarioKeys,
} from '../../../src/usecases/scenario/load-scenario.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import { openWorkshop } from '../../setup/workshop.ts';
import type { Desk } from '../desk.ts';
import { openDesk, wordsOf } from '../desk.ts';

/** Words of English that no German sentence has. */
const ENGLISH =
  /(?<![\p{L}\p{N}’'-])(?:the|and|of|is|are|with|for|were|has|have|not|this|that|from|which|your|you|nothing|to|by|at|on|it|its|be|been|no|or|last|due|none|one|two|days?|weeks?|months?|hours?)(?![\p{L}\p{N}’'-])/iu;

/** What people wrote into the demo: it stays as they wrote it, whoever reads it. */
const WRITTEN = readdirSync(new URL('../../../seeds/', import.meta.url))
  .filter((file) => file.endsWith('.json'))
  .flatMap((file) =>
    textsIn(JSON.parse(readFileSync(new URL(`../../../seeds/${file}`, import.meta.url), 'utf8'))),
  )
  .sort((a, b) => b.length - a.length);

/** Names that are the same in German (CLDR). */
const NAMES = ['Isle of Man'];

function textsIn(value: unknown): string[] {
  if (typeof value === 'string') return value.length > 3 && !/^[a-z-]+$/.test(value) ? [value] : [];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(textsIn) : [];
}

/** The texts of a page one by one, and what it says to those who cannot see it. */
function textsOf(html: string): string[] {
  const main = html
    .replaceAll(/<(code|style|script)\b[\s\S]*?<\/\1>/g, '')
    .replaceAll(/<[^>]* lang="en"[^>]*>[^<]*/g, '');
  const shown = main.replaceAll(/<\/?(?:strong|em|span|a|b)\b[^>]*>/g, ' ').split(/<[^>]*>/);
  const told = [...main.matchAll(/(?:aria-label|placeholder|title|alt)="([^"]*)"/g)].map(
    ([, one = '']) => one,
  );
  return [...shown, ...told].map((one) => wordsOf(one).trim()).filter((one) => one !== '');
}

function isEnglish(text: string): boolean {
  const own = [...WRITTEN, ...NAMES].reduce((left, written) => left.replaceAll(written, ' '), text);
  // Addresses, and names between braces that a person writes as they are, are of no language.
  return ENGLISH.test(own.replaceAll(/\{\{\w+\}\}|https?:\/\/\S+/g, ' '));
}

/** The kind of page that an address is of: ids and queries left out. */
function kindOf(url: string): string {
  return (url.split(/[?#]/)[0] ?? '').replaceAll(/\/[\w-]*\d[\w-]{7,}/g, '/*');
}

const MOST_OF_A_KIND = 4;
const LEAVE_OUT =
  /^\/(?:reference|openapi|style|keep|passkey|advice|o\/|stop|card|calendar|d\/|tray|photos\/|export|trail\.csv)/;

/** What pages of every kind, found by their links, say in English; `seen` gets those that speak German. */
async function crawl(
  desk: Desk,
  start: readonly string[],
  seen: Map<string, number>,
): Promise<string[]> {
  const open = [...start];
  const asked = new Set<string>();
  const english: string[] = [];
  for (let url = open.shift(); url !== undefined; url = open.shift()) {
    const kind = kindOf(url);
    if (asked.has(url) || (seen.get(kind) ?? 0) >= MOST_OF_A_KIND || LEAVE_OUT.test(url)) continue;
    asked.add(url);
    const { html, status } = await desk.open(url);
    if (status !== 200) continue;
    seen.set(kind, (seen.get(kind) ?? 0) + 1);
    if (html.includes('<html lang="de">')) {
      english.push(
        ...textsOf(html)
          .filter(isEnglish)
          .map((text) => `${kind}: ${text}`),
      );
    }
    open.push(
      ...[...html.matchAll(/href="(\/[^"]*)"/g)].map(([, to = '']) => to.replaceAll('&amp;', '&')),
    );
  }
  return english;
}

it('speak German alone in the demo of a German shop, club and owner', async () => {
  const shop = await openWorkshop('2026-07-15T12:00:00.000Z');
  await loadScenario(shop.context);
  expect(await isScenarioLoaded(shop.context)).toBe(true);
  // Their own language has what the shop's page holds ready for owners, and what was estimated for them.
  await shop.context.store.writeSql(async (sql) => {
    await sql.run(`UPDATE "organisation" SET "language" = 'de'`, []);
    await sql.run(
      `UPDATE "owner" SET "language" = 'de' WHERE "id" NOT IN (SELECT "ownerId" FROM "estimate")`,
      [],
    );
  });
  await planRound(shop.context);
  const seen = new Map<string, number>();
  const english: string[] = [];
  for (const { key } of await makeScenarioKeys(shop.context)) {
    const desk = await openDesk(shop, key);
    english.push(
      ...(await crawl(desk, ['/home', '/today', '/mine', '/members', '/tops', '/find?q=a'], seen)),
    );
  }
  await shop.close();
  expect(seen.size).toBeGreaterThan(30);
  expect([...new Set(english)].sort()).toEqual([]);
});

it('would show an English text in them', () => {
  const html =
    '<html lang="de"><main><p>Öl fällig</p><p aria-label="Way of the day">Ring <b>her</b> on Monday</p></main>';
  expect(textsOf(html).filter(isEnglish)).toEqual(['Ring her on Monday', 'Way of the day']);
  const german = Object.values(pageWords().get('de') ?? {}).flatMap((phrase) =>
    typeof phrase === 'string' ? [phrase] : Object.values(phrase),
  );
  expect(german.filter((text) => isEnglish(text.replaceAll(/\{\{\w+\}\}/g, '')))).toEqual([]);
});
