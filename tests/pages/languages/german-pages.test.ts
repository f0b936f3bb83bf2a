import { expect, it } from 'vitest';
import { pageWords } from '../../../src/views/words/voice.ts';
import {
  isScenarioLoaded,
  loadScenario,
  makeScenarioKeys,
} from '../../../src/usecases/scenario/load-scenario.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import { fitted, openWorkshop } from '../../setup/workshop.ts';
import type { Desk } from '../desk.ts';
import { openDesk } from '../desk.ts';
import { isEnglish, textsOf } from './english-texts.ts';

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
  for (const { sign, proof } of FAULTS) {
    for (const asked of [`?${sign}=yes`, `?${sign}=yes&${proof}=yes`, `?${sign}=no&${proof}=yes`]) {
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

it('would show an English text in them', () => {
  const html =
    '<html lang="de"><main><p>Öl fällig</p><p aria-label="Way of the day">Ring <b>her</b> on Monday</p></main>';
  expect(textsOf(html).filter(isEnglish)).toEqual(['Ring her on Monday', 'Way of the day']);
  const german = Object.values(pageWords().get('de') ?? {}).flatMap((phrase) =>
    typeof phrase === 'string' ? [phrase] : Object.values(phrase),
  );
  expect(german.filter((text) => isEnglish(text.replaceAll(/\{\{\w+\}\}/g, '')))).toEqual([]);
});
