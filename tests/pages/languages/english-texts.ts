import { readdirSync, readFileSync } from 'node:fs';
import { wordsOf } from '../desk.ts';

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
export function textsOf(html: string): string[] {
  const main = html
    .replaceAll(/<(code|style|script)\b[\s\S]*?<\/\1>/g, '')
    .replaceAll(/<[^>]* lang="en"[^>]*>[^<]*/g, '');
  const shown = main.replaceAll(/<\/?(?:strong|em|span|a|b)\b[^>]*>/g, ' ').split(/<[^>]*>/);
  const told = [...main.matchAll(/(?:aria-label|placeholder|title|alt)="([^"]*)"/g)].map(
    ([, one = '']) => one,
  );
  return [...shown, ...told].map((one) => wordsOf(one).trim()).filter((one) => one !== '');
}

// What stands around every page is asked about once.
const asked = new Map<string, boolean>();

export function isEnglish(text: string): boolean {
  const known = asked.get(text);
  if (known !== undefined) return known;
  const found = speaksEnglish(text);
  asked.set(text, found);
  return found;
}

function speaksEnglish(text: string): boolean {
  const own = [...WRITTEN, ...NAMES].reduce((left, written) => left.replaceAll(written, ' '), text);
  // Addresses, and names between braces that a person writes as they are, are of no language.
  return ENGLISH.test(own.replaceAll(/\{\{\w+\}\}|https?:\/\/\S+/g, ' '));
}
