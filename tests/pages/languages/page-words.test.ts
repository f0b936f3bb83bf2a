import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { pageWords } from '../../../src/views/words/voice.ts';
import { toldWords } from '../../../src/views/words/told.ts';
import { TRAIL_TABLES } from '../../../src/store/database/trail-tables.ts';
import { placesIn, type Words } from '../../../src/views/words/words.ts';
import { ENGLISH_BY_NATURE, NO_WORDS } from './english-only.ts';
import {
  literalsIn,
  printedBy,
  sheetOf,
  sheets,
  templates,
  withImports,
  withParts,
} from './sources.ts';

const folder = new URL('../../../templates/pages/words/', import.meta.url);
const languages = readdirSync(folder);
const english = pageWords().get('en') ?? {};
const spoken = [...sheetOf.keys()].filter((page) => !ENGLISH_BY_NATURE.includes(page));

/** The files of the words of a language with their keys. */
function roomsOf(language: string): [string, Words][] {
  const own = new URL(`${language}/`, folder);
  return readdirSync(own).map((file) => [
    file,
    JSON.parse(readFileSync(new URL(file, own), 'utf8')) as Words,
  ]);
}

test('words stand in the same room in every language, and what they begin with in one room alone', () => {
  const roomOf = new Map<string, string>();
  const wrong = languages.flatMap((language) =>
    roomsOf(language).flatMap(([room, words]) =>
      Object.keys(words).flatMap((key) => {
        const head = key.split('.')[0] ?? '';
        const known = roomOf.get(head) ?? room;
        roomOf.set(head, known);
        return known === room ? [] : [`${language}/${room}: ${key} begins as ${known} does`];
      }),
    ),
  );
  expect(languages).toEqual(['de', 'en']);
  expect(wrong).toEqual([]);
});

/** Keys that a language lacks or has besides, and those whose places or forms are not those of English. */
function gapsIn(language: string, words: Words, as: Words): string[] {
  const forms = new Intl.PluralRules(language).resolvedOptions().pluralCategories;
  const placesOf = (phrase: Words[string] | undefined) =>
    [...new Set(placesIn(JSON.stringify(phrase ?? '')))].sort().join(', ');
  return [...new Set([...Object.keys(as), ...Object.keys(words)])].flatMap((key) => {
    const [phrase, model] = [words[key], as[key]];
    if (phrase === undefined || model === undefined) return [`${language} ${key}: in one language`];
    const faults = placesOf(phrase) === placesOf(model) ? [] : ['its places'];
    if (typeof phrase !== typeof model) return [`${language} ${key}: forms in one language`];
    const lacking =
      typeof phrase === 'string' ? [] : forms.filter((one) => phrase[one] === undefined);
    return [...faults, ...lacking.map((form) => `its form "${form}"`)].map(
      (what) => `${language} ${key}: ${what}`,
    );
  });
}

test('no language lacks a key, a place or a form of number', () => {
  expect([...pageWords()].flatMap(([name, words]) => gapsIn(name, words, english))).toEqual([]);
  const planted = { a: '{{day}}', b: { one: '1' }, c: 'c' } as Words;
  expect(gapsIn('de', planted, { a: '', b: { one: '1', other: '2' }, d: '' }).length).toBe(4);
});

/** The keys that templates and sheets name, and what those begin with that are put together. */
function askedKeys() {
  const sources = [...templates.values(), ...sheets.values(), ...outside];
  const whole = new Set<string>();
  const heads = new Set<string>();
  for (const text of sources) {
    for (const [, key = ''] of text.matchAll(/['"`]([a-z][\w-]*(?:\.[\w-]+)*)['"`]/g))
      whole.add(key);
    for (const [, head = ''] of text.matchAll(/`([a-z][\w-]*\.[\w.-]*)\$\{/g)) heads.add(head);
    for (const [, head = ''] of text.matchAll(/spokenChoices\(\s*\w+,\s*'([\w.-]+)'/g)) {
      heads.add(`${head}.`);
    }
  }
  return { whole, heads };
}

const outside = ['because.ts', 'mails/daily-mail.ts', 'words/voice.ts'].map((file) =>
  readFileSync(new URL(`../../../src/views/${file}`, import.meta.url), 'utf8'),
);

test('every word of the pages is said somewhere', () => {
  const { whole, heads } = askedKeys();
  const unsaid = Object.keys(english).filter(
    (key) => !whole.has(key) && ![...heads].some((head) => key.startsWith(head)),
  );
  expect(unsaid).toEqual([]);
});

test('every key that a template or sheet says is there', () => {
  const asks = /\b(?:say|count)\(\s*'([\w.-]+)'/g;
  const missing = [...templates, ...sheets].flatMap(([name, text]) =>
    [...text.matchAll(asks)]
      .map(([, key = '']) => key)
      .filter((key) => english[key] === undefined && !speaksAsLetters(name, text))
      .map((key) => `${name}: ${key}`),
  );
  expect(missing).toEqual([]);
});

/** Some sheets say words of the letters, with the letters' own speaker. */
function speaksAsLetters(name: string, text: string): boolean {
  return name.endsWith('.ts') && text.includes('speakerOf(');
}

test('pages that speak every language have no words of their own in their templates', () => {
  const faults = withParts(spoken).flatMap((name) =>
    printedBy(templates.get(name) ?? '')
      .filter((words) => !NO_WORDS.includes(words))
      .map((words) => `${name}: ${words}`),
  );
  expect(faults).toEqual([]);
  expect(printedBy('<p title="Far away">Hello <%= it.name ? `of ${it.x}` : \'x\' %></p>')).toEqual([
    'Hello',
    'Far away',
    'of',
  ]);
});

/** A text that only people read: some words, or one that begins as a sentence does. */
function isProse(text: string): boolean {
  return /\p{L}{2,}[,:]? \p{L}{2,}/u.test(text) || /^\p{Lu}\p{Ll}+[.:]?$/u.test(text.trim());
}

test('nor do their sheets, which name no language either', () => {
  const files = withImports(spoken.flatMap((page) => sheetOf.get(page) ?? []));
  const faults = files.flatMap((path) => {
    const text = sheets.get(path) ?? '';
    const shared = sharedWithEnglishPages(path);
    return [
      ...(shared ? [] : literalsIn(text).filter((one) => isProse(one) && !isTold(one))),
      ...(shared ? [] : (text.match(/localeOf\('|voiceFor\('|lang: '|DateTimeFormat\('/g) ?? [])),
    ].map((words) => `${path}: ${words}`);
  });
  expect(faults).toEqual([]);
  expect(literalsIn("const a = `Oil ${b ? 'was due' : c} on`; // not this")).toEqual([
    'Oil ',
    ' on',
    'was due',
  ]);
});

/** A refusal is told in every language from its English words; a line of the log is not for the page. */
function isTold(text: string): boolean {
  return (
    NO_WORDS.includes(text) || [...toldWords().values()].every((told) => Object.hasOwn(told, text))
  );
}

/** A sheet of a page that speaks English alone may be imported for a type or a list of values. */
function sharedWithEnglishPages(path: string): boolean {
  return ENGLISH_BY_NATURE.some((page) => sheetOf.get(page) === path);
}

test('the list of pages that speak English alone names pages that do', () => {
  const silent = ENGLISH_BY_NATURE.filter((page) => {
    const printed = withParts([page]).flatMap((name) => printedBy(templates.get(name) ?? ''));
    const sheet = sheets.get(sheetOf.get(page) ?? '') ?? '';
    return printed.length === 0 && !/lang: 'en'|localeOf\('en-GB'\)|voiceFor\('en'\)/.test(sheet);
  });
  expect(silent).toEqual([]);
});

test('what the trail tells of has words: every table that it follows and every column', () => {
  const schema = new URL('../../../prisma/models.prisma', import.meta.url);
  const models = readFileSync(schema, 'utf8').split(/^model /m);
  const unnamed = TRAIL_TABLES.flatMap(({ table, ignored = [] }) => {
    const body = models.find((model) => model.includes(`@@map("${table}")`)) ?? '';
    const columns = [...body.matchAll(/^ {2}(\w+) +(?:String|Int|Float|Boolean)/gm)]
      .map(([, column = '']) => column)
      .filter((column) => !ignored.includes(column));
    expect([table, columns.length]).not.toEqual([table, 0]);
    return [`trail.kind.${table}`, ...columns.map((column) => `trail.column.${column}`)];
  }).filter((key) => english[key] === undefined);
  expect(unnamed).toEqual([]);
});
