import { isDay } from '../../domain/calendar/day.ts';
import { kept } from './kept.ts';
import type { Locale } from './locale.ts';
import { fill, readRooms, type Words } from './words.ts';

const folder = new URL('../../../templates/pages/told/', import.meta.url);
let known: ReadonlyMap<string, Told> | undefined;

interface Told {
  readonly whole: Words;
  /** Sentences with places, those with most words of their own first. */
  readonly patterns: readonly { readonly pattern: RegExp; readonly text: string }[];
  readonly kept: Map<string, string>;
}

/** What rules and refusals say in English, sentence by sentence, in the languages that have them. */
export function toldWords(): ReadonlyMap<string, Words> {
  return readRooms(folder);
}

/**
 * A sentence that was written in English below the pages, in another language: by the sentence itself, else
 * by one with `{{places}}`, whose fillings are told in turn. Days and numbers are written as the language does.
 * What is unknown stays as it is, rather than to be left out.
 */
export function tellIn(language: string, locale: Locale, sentence: string): string {
  if (language === 'en') return sentence;
  known ??= new Map([...toldWords()].map(([name, words]) => [name, toldOf(words)]));
  const told = known.get(language);
  if (told === undefined) return sentence;
  return kept(told.kept, `${locale.tag} ${sentence}`, () => tellWith(told, locale, sentence));
}

function tellWith(told: Told, locale: Locale, sentence: string): string {
  const whole = Object.hasOwn(told.whole, sentence) ? told.whole[sentence] : undefined;
  if (typeof whole === 'string') return whole;
  if (isDay(sentence)) return locale.day(sentence);
  // Whole numbers may be years.
  if (/^-?\d+\.\d+$/.test(sentence)) return locale.number(Number(sentence));
  for (const { pattern, text } of told.patterns) {
    const places = pattern.exec(sentence)?.groups;
    if (places === undefined) continue;
    const figures = Object.entries(places).map(([name, said]) => [
      name,
      tellWith(told, locale, said),
    ]);
    return fill(text, Object.fromEntries(figures) as Record<string, string>);
  }
  return sentence;
}

function toldOf(words: Words): Told {
  const patterns = Object.entries(words).flatMap(([sentence, text]) =>
    typeof text === 'string' && sentence.includes('{{') ? [{ sentence, text }] : [],
  );
  return {
    whole: words,
    patterns: patterns
      .sort((a, b) => wordsOfIts(b.sentence) - wordsOfIts(a.sentence))
      .map(({ sentence, text }) => ({ pattern: patternOf(sentence), text })),
    kept: new Map(),
  };
}

function wordsOfIts(sentence: string): number {
  return sentence.replaceAll(/\{\{\w+\}\}/g, '').length;
}

/** The sentence as a pattern: each place takes what stands there, a second one of a name the same again. */
function patternOf(sentence: string): RegExp {
  const named = new Set<string>();
  const source = sentence
    .split(/(\{\{\w+\}\})/)
    .map((part) => {
      const name = /^\{\{(\w+)\}\}$/.exec(part)?.[1];
      if (name === undefined) return part.replaceAll(/[\\^$.*+?()[\]{}|]/g, String.raw`\$&`);
      if (named.has(name)) return String.raw`\k<${name}>`;
      named.add(name);
      return `(?<${name}>.+?)`;
    })
    .join('');
  return new RegExp(`^${source}$`, 's');
}
