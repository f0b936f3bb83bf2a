import { signIn } from '../../src/usecases/organisations/sign-in.ts';
import type { Workshop } from '../setup/workshop.ts';
import { browse } from './link-for.ts';

type Page = Awaited<ReturnType<typeof browse>>;

/** A browser at the bench: signed in, it opens pages, fills in their forms and sends them. */
export interface Desk {
  readonly cookie: string;
  open(url: string): Promise<Page>;
  /** Sends the form with this action on a page, its fields as they stand there but for `changes`. */
  send(page: Page, action: string, changes?: Record<string, string | null>): Promise<Page>;
  /** Sends these fields, whatever any page says. */
  post(
    url: string,
    fields: Record<string, string>,
    headers?: Record<string, string>,
  ): Promise<Page>;
}

export async function openDesk(shop: Workshop, key = shop.key): Promise<Desk> {
  const session = await signIn(shop.context, key);
  const cookie = `__Host-foldkeep=${session.kind === 'signed-in' ? session.token : ''}`;
  const headers = { cookie, origin: 'https://care.example.org', 'sec-fetch-site': 'same-origin' };
  const post: Desk['post'] = (url, fields, more = {}) =>
    browse(shop, 'POST', url, fields, { ...headers, ...more });
  return {
    cookie,
    open: (url) => browse(shop, 'GET', url, undefined, { cookie }),
    post,
    send: (page, action, changes = {}) => {
      const fields = { ...fieldsIn(page.html, action), ...changes };
      const kept = Object.entries(fields).filter(
        (pair): pair is [string, string] => pair[1] !== null,
      );
      return post(action, Object.fromEntries(kept));
    },
  };
}

/** What a browser would send of a form that nobody has touched. */
export function fieldsIn(html: string, action: string): Record<string, string> {
  const form = html
    .split('<form ')
    .slice(1)
    .map((part) => part.split('</form>')[0] ?? '')
    .find((part) => part.startsWith(`method="post" action="${action}"`));
  if (form === undefined) throw new Error(`no form for ${action}`);
  const fields: Record<string, string> = {};
  for (const [tag] of form.matchAll(/<input [^>]*>/g)) {
    const name = attribute(tag, 'name');
    const type = attribute(tag, 'type') ?? 'text';
    const set = !['checkbox', 'radio'].includes(type) || / checked[ >]/.test(tag);
    if (name !== null && set) fields[name] = attribute(tag, 'value') ?? '';
  }
  for (const [, tag = '', inner = ''] of form.matchAll(/<select ([^>]*)>(.*?)<\/select>/gs)) {
    const options = inner.match(/<option [^>]*>/g) ?? [];
    const chosen = options.find((option) => / selected[ >]/.test(option)) ?? options[0] ?? '';
    fields[attribute(tag, 'name') ?? ''] = attribute(chosen, 'value') ?? '';
  }
  for (const [, tag = '', inner = ''] of form.matchAll(/<textarea ([^>]*)>(.*?)<\/textarea>/gs)) {
    fields[attribute(tag, 'name') ?? ''] = plain(inner.replace(/^\n/, ''));
  }
  return fields;
}

/** The words of a page. */
export function wordsOf(html: string): string {
  return plain(html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' '));
}

function attribute(tag: string, name: string): string | null {
  const found = new RegExp(`(?:^|\\s)${name}="([^"]*)"`).exec(tag)?.[1];
  return found === undefined ? null : plain(found);
}

function plain(text: string): string {
  return text
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&');
}
