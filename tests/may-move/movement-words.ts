import { readdirSync, readFileSync } from 'node:fs';
import { pageWords } from '../../src/views/words/voice.ts';
import type { Words } from '../../src/views/words/words.ts';
import { wordsByLanguage } from '../../src/views/words/words.ts';

type Room = 'letters' | 'pages';

/**
 * `templates/moving.json`: every wording that speaks of moving or oiling a top. `never` ones must not
 * be read beside a top that has to stay; `may` ones can, because they forbid it or merely tell.
 */
export const LISTED = JSON.parse(
  readFileSync(new URL('../../templates/moving.json', import.meta.url), 'utf8'),
) as Readonly<Record<Room, Readonly<Record<'never' | 'may', readonly string[]>>>>;

const LANGUAGES = { letters: wordsByLanguage, pages: pageWords } as const;

/** Words that speak of moving or oiling, in any form: wider than any instruction. */
const MENTIONS: Readonly<Record<string, RegExp>> = {
  en: /\b(?:rais|fold|unfold|latch|unlatch|mov(?:e|ing)|oil|lower|lift|once it is up|once the top is up|half open|cycle)/i,
  de: /öffn|schließ|geschlossen|beweg|falt|verriegel|(?<!\p{L})öl|geölt|hoch|(?<!\p{L})(?:zu ist|ist zu)(?!\p{L})/iu,
};

/** Sentences that tell a reader to move a top or to oil and work it, or offer to say that it was done. */
const INSTRUCTS: readonly RegExp[] = [
  /(?<!\b(?:not|never|nor)\s+(?:\w+\s+or\s+)?)\b(?:raise|fold|lower|latch|unlatch|move|work|oil|operate|lift|cycle|unzip|close|half open|open)\s+(?:it|them|the\s+(?:tops?|frames?|joints?|pivots?)|your\s+(?:tops?|pivots?)|all joints)\b/i,
  /\b(?:log an oiling|log that it is up|I (?:raised|folded|oiled)|leave it up|keep it up|needs? raising)\b/i,
  /(?<!\p{L})(?:öffnen|schließen|bewegen|falten|verriegeln|klappen|ölen|heben|betätigen)\s+Sie(?!\p{L}| diesen Brief)/iu,
  /(?<!\p{L})Ich habe (?:es|heute|die)(?!\p{L})/u,
];

function formsOf(phrase: Words[string]): string[] {
  return typeof phrase === 'string' ? [phrase] : Object.values(phrase);
}

const folder = new URL('../../templates/pages/words/en/', import.meta.url);

/** Rooms whose words an owner may read; those of the others are read by whoever works on the tops. */
const OWNERS_READ = ['club', 'diary', 'estimates', 'frame', 'owners', 'privacy'];

/** The keys of words that staff alone reads. */
const STAFF_KEYS: ReadonlySet<string> = new Set(
  readdirSync(folder)
    .filter((file) => !OWNERS_READ.includes(file.replace(/\.json$/, '')))
    .flatMap((file) =>
      Object.keys(JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Words),
    ),
);

/**
 * Keys that speak of moving in some language and stand in neither list; of the words that staff alone reads,
 * those that tell somebody to move something.
 */
export function unlisted(room: Room, language: string, words: Words): string[] {
  const known = new Set([...LISTED[room].never, ...LISTED[room].may]);
  return Object.entries(words)
    .filter(([key, phrase]) => {
      const asked = room === 'pages' && STAFF_KEYS.has(key) ? INSTRUCTS : [MENTIONS[language]];
      const mentions = formsOf(phrase).some((text) => asked.some((one) => one?.test(text)));
      return mentions && !known.has(key);
    })
    .map(([key]) => `${room} ${language}: ${key}`);
}

/** Listed keys that no words have. */
export function unknownKeys(room: Room): string[] {
  const words = LANGUAGES[room]().get('en') ?? {};
  return [...LISTED[room].never, ...LISTED[room].may].filter((key) => !Object.hasOwn(words, key));
}

export function allWords(room: Room): ReadonlyMap<string, Words> {
  return LANGUAGES[room]();
}

interface Told {
  readonly key: string;
  readonly pattern: RegExp;
  /** What every text that the pattern meets holds; looking for it first spares most of the looking. */
  readonly holds: string;
}

function patternsOf(list: 'never' | 'may'): Told[] {
  return (['letters', 'pages'] as const).flatMap((room) =>
    LISTED[room][list].flatMap((key) =>
      [...LANGUAGES[room]().values()].flatMap((words) =>
        formsOf(words[key] ?? '').map((text) => ({ key, ...patternOf(text) })),
      ),
    ),
  );
}

/** A wording with anything in its places, as plain text has it. */
function patternOf(text: string): Omit<Told, 'key'> {
  const parts = plain(text).split(/\{\{\s*\w+\s*\}\}/);
  const words = parts.map((part) => part.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`));
  return {
    pattern: new RegExp(`(?<!\\p{L})${words.join('.{1,300}?')}(?!\\p{L})`, 'gu'),
    holds: parts.reduce((longest, part) => (part.length > longest.length ? part : longest)),
  };
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&amp;': '&',
  '&lt;': '<',
  '&gt;': '>',
  '&quot;': '"',
  '&#39;': "'",
};

/** What a reader sees of a page or letter: no tags, no styles, one space between words. */
export function plain(html: string): string {
  return html
    .replaceAll(/<(style|script|svg)\b.*?<\/\1>/gs, ' ')
    .replaceAll(/<[^>]+>/g, ' ')
    .replaceAll(/&(?:amp|lt|gt|quot|#39);/g, (entity) => ENTITIES[entity] ?? entity)
    .replaceAll(/\s+/g, ' ')
    .trim();
}

const NEVER = patternsOf('never').filter(({ pattern }) => pattern.source.length > 30);
const MAY = patternsOf('may')
  .filter(({ pattern }) => pattern.source.length > 40)
  .sort((a, b) => b.pattern.source.length - a.pattern.source.length);

/** Everything in a letter or page that tells its reader to move the top; empty where nothing does. */
export function toldToMove(letterOrPage: string): string[] {
  const text = plain(letterOrPage);
  const listed = NEVER.flatMap(({ key, pattern, holds }) => {
    const found = text.includes(holds) ? text.match(pattern)?.[0] : undefined;
    return found === undefined ? [] : [`${key}: ${found}`];
  });
  const rest = MAY.reduce(
    (left, { pattern, holds }) => (left.includes(holds) ? left.replaceAll(pattern, ' … ') : left),
    text,
  );
  const said = INSTRUCTS.flatMap((pattern) => {
    const at = rest.search(pattern);
    return at < 0 ? [] : [`…${rest.slice(Math.max(0, at - 60), at + 90)}…`];
  });
  return [...listed, ...said];
}
