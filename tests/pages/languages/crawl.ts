import type { Desk } from '../desk.ts';

/** The kind of page that an address is of: ids and queries left out. */
export function kindOf(url: string): string {
  return (url.split(/[?#]/)[0] ?? '').replaceAll(/\/[\w-]*\d[\w-]{7,}/g, '/*');
}

/** The same where the pages of the parts in stock, which differ in the part's name alone, are of one kind. */
export function broadKindOf(url: string): string {
  return kindOf(url).replace(/^\/stock\/[\w-]+$/, '/stock/*');
}

const LEAVE_OUT =
  /^\/(?:reference|openapi|style|keep|passkey|advice|o\/|stop|card|calendar|d\/|tray|photos\/|export|trail\.csv)/;
/** Where a crawl of everything that somebody can reach begins. */
const DOORS = ['/home', '/today', '/mine', '/members', '/tops', '/find?q=a'];

/**
 * Reads pages of every kind that a desk can reach by links, so many of each kind, and gives what `find` makes of
 * them, each once and behind its kind of page; `seen` counts the pages read by kind, also across desks.
 */
export async function crawl(
  desk: Desk,
  seen: Map<string, number>,
  find: (html: string) => readonly string[],
  ofAKind: number,
  kindOfPage: (url: string) => string = kindOf,
): Promise<string[]> {
  const open = [...DOORS];
  const asked = new Set<string>();
  const found = new Set<string>();
  for (let url = open.shift(); url !== undefined; url = open.shift()) {
    const kind = kindOfPage(url);
    if (asked.has(url) || (seen.get(kind) ?? 0) >= ofAKind || LEAVE_OUT.test(url)) continue;
    asked.add(url);
    const { html, status } = await desk.open(url);
    // A file to keep is no page.
    if (status !== 200 || !html.startsWith('<!')) continue;
    seen.set(kind, (seen.get(kind) ?? 0) + 1);
    for (const text of find(html)) found.add(`${kind}: ${text}`);
    open.push(
      ...[...html.matchAll(/href="(\/[^"]*)"/g)].map(([, to = '']) => to.replaceAll('&amp;', '&')),
    );
  }
  return [...found].sort();
}
