import { readdirSync, readFileSync } from 'node:fs';
import { z } from 'zod';
import { kept } from './kept.ts';
import { type Locale, localeOf } from './locale.ts';
import { RenderRefused } from './refused.ts';

const PHRASE = z.union([
  z.string(),
  z.partialRecord(z.enum(['zero', 'one', 'two', 'few', 'many', 'other']), z.string()),
]);
const WORDS = z.record(z.string(), PHRASE);

/** Phrases by key; a phrase may have its forms by the plural rule of the language. */
export type Words = Readonly<z.output<typeof WORDS>>;

/** The values that fill `{{name}}` places of a phrase, already written for the reader. */
export type Fillings = Readonly<Record<string, string>>;

const folder = new URL('../../../templates/letters/words/', import.meta.url);
let known: ReadonlyMap<string, Words> | undefined;

/** The words of every language for which `templates/letters/words/` has a file, read once. */
export function wordsByLanguage(): ReadonlyMap<string, Words> {
  known ??= readWords(folder);
  return known;
}

/** The languages in which letters can be written, without reading their words. */
export function letterLanguages(): string[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .map((file) => file.slice(0, -'.json'.length))
    .sort();
}

/** The words of a folder with one JSON file a language, by language. Throws on a malformed file. */
export function readWords(from: URL): ReadonlyMap<string, Words> {
  return new Map(
    readdirSync(from)
      .filter((file) => file.endsWith('.json'))
      .map((file) => [
        file.slice(0, -'.json'.length),
        WORDS.parse(JSON.parse(readFileSync(new URL(file, from), 'utf8'))),
      ]),
  );
}

/**
 * The words of a folder with one folder a language and one JSON file a room in it, by language. Throws
 * where two rooms have the same key.
 */
export function readRooms(from: URL): ReadonlyMap<string, Words> {
  const folders = readdirSync(from, { withFileTypes: true }).filter((one) => one.isDirectory());
  return new Map(
    folders.map(({ name }) => [name, joined(readWords(new URL(`${name}/`, from)), name)]),
  );
}

function joined(rooms: ReadonlyMap<string, Words>, language: string): Words {
  const words: Record<string, Words[string]> = {};
  for (const [room, own] of rooms) {
    for (const [key, said] of Object.entries(own)) {
      if (Object.hasOwn(words, key)) {
        throw new Error(`"${key}" stands in ${language}/${room}.json and in another file of it`);
      }
      words[key] = said;
    }
  }
  return words;
}

/**
 * Words and locale for a reader's language: the tag itself, else its language without country,
 * else English. Dates follow the words, so that no letter speaks two languages.
 */
export function voiceOf(tag: string): LettersVoice {
  return kept(voices, tag, () => newVoiceOf(tag), VOICES_KEPT);
}

interface LettersVoice {
  readonly language: string;
  readonly words: Words;
  readonly locale: Locale;
}

// Readers have few languages, but anybody can send a tag.
const VOICES_KEPT = 200;
const voices = new Map<string, LettersVoice>();

function newVoiceOf(tag: string): LettersVoice {
  const all = wordsByLanguage();
  const canonical = Intl.getCanonicalLocales(tag)[0] ?? 'en';
  const bare = canonical.split('-')[0] ?? 'en';
  const found = [canonical, bare].find((name) => all.has(name));
  const language = found ?? 'en';
  const words = all.get(language);
  if (!words) throw new RenderRefused('language', 'words/en.json is missing');
  const spoken = found === undefined ? 'en' : canonical;
  return { language: spoken, words, locale: localeOf(spoken === 'en' ? 'en-GB' : spoken) };
}

const PLACE = /\{\{\s*([A-Za-z]+)\s*\}\}/g;

/** The names of the `{{name}}` places in a text. */
export function placesIn(text: string): string[] {
  return [...text.matchAll(PLACE)].map((match) => match[1] ?? '');
}

/** The text with its places filled. A place without a value is refused by name. */
export function fill(text: string, fillings: Fillings): string {
  if (!text.includes('{{')) return text;
  return text.replace(PLACE, (_, name: string) => {
    const value = Object.hasOwn(fillings, name) ? fillings[name] : undefined;
    if (value === undefined) throw new RenderRefused(name, `no value for {{${name}}}`);
    return value;
  });
}

/** The form of a phrase for `count`. Refuses a key that the language lacks. */
export function phrase(words: Words, key: string, locale: Locale, count = 1): string {
  const found = Object.hasOwn(words, key) ? words[key] : undefined;
  if (found === undefined) throw new RenderRefused(key, 'the words of this language lack it');
  if (typeof found === 'string') return found;
  const form = found[locale.plural(count)] ?? found.other;
  if (form === undefined) throw new RenderRefused(key, `no form for ${count}`);
  return form;
}
