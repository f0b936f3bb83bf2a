import { isDay } from '../../domain/calendar/day.ts';
import { kept } from './kept.ts';
import type { Locale } from './locale.ts';
import { fill, readRooms, type Words } from './words.ts';

const folder = new URL('../../../templates/pages/told/', import.meta.url);
let known: ReadonlyMap<string, Told> | undefined;

interface Pattern {
  /** A place takes anything but a "; ". */
  readonly narrow: RegExp;
  readonly wide: RegExp;
  /** Known for what it is even where a place of it holds a list: it frames what it takes. */
  readonly isClear: boolean;
  readonly text: string;
}

interface Told {
  readonly whole: Words;
  /** Sentences with places, those with most words of their own first. */
  readonly patterns: readonly Pattern[];
  readonly kept: Map<string, string>;
}

/** What rules and refusals say in English, sentence by sentence, in the languages that have them. */
export function toldWords(): ReadonlyMap<string, Words> {
  return readRooms(folder);
}

/**
 * A sentence that was written in English below the pages, in another language: by the sentence itself, else
 * by one with `{{places}}`, whose fillings are told in turn. Days and numbers are written as the language does.
 * What is unknown stays as it is but for its days, rather than to be left out. In English days alone change.
 */
export function tellIn(language: string, locale: Locale, sentence: string): string {
  if (language === 'en') return withDays(sentence, locale);
  known ??= new Map([...toldWords()].map(([name, words]) => [name, toldOf(words)]));
  const told = known.get(language);
  if (told === undefined) return withDays(sentence, locale);
  return kept(told.kept, `${locale.tag} ${sentence}`, () =>
    withDays(tellWith(told, locale, sentence), locale),
  );
}

// Not where it is part of an address, a name of a file or an instant.
const ISO_DAY = /(?<![\w/=.-])\d{4}-\d{2}-\d{2}(?![\w/-]|\.\w)/g;

function withDays(sentence: string, locale: Locale): string {
  return sentence.replaceAll(ISO_DAY, (found) => (isDay(found) ? locale.plainDay(found) : found));
}

function tellWith(told: Told, locale: Locale, sentence: string): string {
  const whole = Object.hasOwn(told.whole, sentence) ? told.whole[sentence] : undefined;
  if (typeof whole === 'string') return whole;
  if (isDay(sentence)) return locale.plainDay(sentence);
  // Fractions, one or some, keep their digits; whole numbers may be years.
  if (/^[… ]*-?\d+(?:\.\d+)?(?:, -?\d+(?:\.\d+)?)*$/.test(sentence)) {
    return sentence.replaceAll('.', locale.number(1.5).slice(1, 2));
  }
  return (
    byPattern(told, locale, sentence, ({ narrow }) => narrow) ??
    byPattern(told, locale, sentence, ({ wide, isClear }) => (isClear ? wide : null)) ??
    inPieces(told, locale, sentence) ??
    byPattern(told, locale, sentence, ({ wide }) => wide) ??
    sentence
  );
}

function byPattern(
  told: Told,
  locale: Locale,
  sentence: string,
  patternOf: (one: Pattern) => RegExp | null,
): string | null {
  for (const one of told.patterns) {
    const places = patternOf(one)?.exec(sentence)?.groups;
    if (places === undefined) continue;
    const fillings = Object.entries(places).map(([name, said]) => [
      name,
      tellWith(told, locale, said),
    ]);
    return fill(one.text, Object.fromEntries(fillings) as Record<string, string>);
  }
  return null;
}

/** Sentences and lists of a rule, piece by piece; null where there is one piece alone. */
function inPieces(told: Told, locale: Locale, sentence: string): string | null {
  for (const { between, glue } of JOINTS) {
    const pieces = sentence.split(between);
    if (pieces.length > 1) {
      return pieces.map((piece) => tellWith(told, locale, piece)).join(glue);
    }
  }
  return null;
}

/** Signs of its own, besides those that frame, by which a sentence is known. */
const CLEAR = 15;
const JOINTS = [
  { between: /(?<=[.!?]) (?=\p{Lu})/u, glue: ' ' },
  { between: '; ', glue: '; ' },
] as const;

function toldOf(words: Words): Told {
  const patterns = Object.entries(words).flatMap(([sentence, text]) =>
    typeof text === 'string' && sentence.includes('{{') ? [{ sentence, text }] : [],
  );
  return {
    whole: words,
    patterns: patterns
      .sort((a, b) => wordsOfIts(b.sentence) - wordsOfIts(a.sentence))
      .map(({ sentence, text }) => ({
        narrow: expressionOf(sentence, '(?:(?!; ).)+?'),
        wide: expressionOf(sentence, '.+?'),
        isClear: wordsOfIts(sentence) >= CLEAR && /[;:(]/.test(sentence),
        text,
      })),
    kept: new Map(),
  };
}

function wordsOfIts(sentence: string): number {
  return sentence.replaceAll(/\{\{\w+\}\}/g, '').length;
}

/** A place named `n` holds a number, in digits or in a word: no more of the sentence is taken for it. */
const NUMBER = String.raw`\S+?`;

/** The sentence as a pattern: each place takes what stands there, a second one of a name the same again. */
function expressionOf(sentence: string, place: string): RegExp {
  const named = new Set<string>();
  const source = sentence
    .split(/(\{\{\w+\}\})/)
    .map((part) => {
      const name = /^\{\{(\w+)\}\}$/.exec(part)?.[1];
      if (name === undefined) return part.replaceAll(/[\\^$.*+?()[\]{}|]/g, String.raw`\$&`);
      if (named.has(name)) return String.raw`\k<${name}>`;
      named.add(name);
      return `(?<${name}>${name === 'n' ? NUMBER : place})`;
    })
    .join('');
  return new RegExp(`^${source}$`, 's');
}
