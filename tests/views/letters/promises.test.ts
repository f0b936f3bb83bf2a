import { describe, expect, it } from 'vitest';
import { ADVICE } from '../../../src/domain/advice/advice-rows.ts';
import { headOf } from '../../../src/domain/advice/note-head.ts';
import { lubricationInterval } from '../../../src/domain/lubrication/interval.ts';
import { PLACES, SALTS, USES } from '../../../src/domain/lubrication/keeping.ts';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import type { LetterKind, LetterModel } from '../../../src/views/letters/models.ts';
import type { WrittenLetter } from '../../../src/views/letters/render.ts';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { hrefsOf, writeLetter } from './reading.ts';

const LANGUAGES = ['en', 'de'] as const;
const TELLS_OF_A_STAY =
  /\b(?:folded|rais\w+|latch\w*|stands?|parked)\b|(?<!\p{L})(?:gefaltet|offen|geöffnet|schließ\p{L}*|geschlossen|steht)(?!\p{L})/iu;
const CODES = /\b(?:class|Klasse|Kategorie|category) C|\bC[1-5X]\b|\b[LR]-[A-Z]|[a-z]+-[a-z]+-\d/;

const flat = (words: string) => words.replaceAll(/[\s:]+/g, ' ').trim();

function preheaderOf({ html }: WrittenLetter): string {
  const said = /class="preheader"[^>]*>([^<]*)/.exec(html)?.[1] ?? '';
  return said.split('&#847;')[0]?.replaceAll('&#39;', "'").replaceAll('&quot;', '"').trim() ?? '';
}

/** The sentences of a preheader that nobody finds in the letter when it is opened. */
function unkept(letter: WrittenLetter): string[] {
  const body = flat(letter.text);
  return preheaderOf(letter)
    .split(/(?<=[.!?])\s+(?=\p{Lu})/u)
    .map((sentence) => flat(sentence).replace(/\.$/, ''))
    .filter((sentence) => sentence === '' || !body.includes(sentence));
}

/** A letter of each kind as it is, with a top that must stay, one that needs care, and of many cars. */
function variants(kind: LetterKind, language: string): WrittenLetter[] {
  const model = sampleModel(kind, language);
  const registration = model.cars[0]?.registration ?? '';
  const reasons = [{ sign: 'seized' as const, pivot: 'R-MAIN', fault: null }];
  const move = { registration, reasons, how: [], repairOn: null };
  const cars = Array.from({ length: 3 }, (_, n) => ({
    ...model.cars[0],
    registration: `FK ${n + 1}`,
  }));
  return [
    renderLetter(kind, model),
    renderLetter(kind, { ...model, moves: [{ ...move, verdict: 'leave' as const }] }),
    ...(kind === 'must-stay'
      ? []
      : [writeLetter(kind, { ...model, moves: [{ ...move, verdict: 'with-care' }] })]),
    writeLetter(kind, { ...model, cars }),
  ];
}

function noteAbout(id: string, language: 'en' | 'de'): LetterModel<'care-note'> {
  const row = ADVICE.find((one) => one.id === id);
  if (row === undefined) throw new Error(`no advice ${id}`);
  const head = headOf(row);
  const one = {
    id,
    subject: head.subject[language],
    preheader: head.preheader[language],
    text: row.text[language],
    why: row.why[language],
  };
  return { ...sampleModel('care-note', language), advice: [one] };
}

const NOTES = ADVICE.filter(({ carriedBy }) => carriedBy === 'care-note').map(({ id }) => id);
const pictureIn = ({ html }: WrittenLetter) =>
  /<img class="picture" src="(data:image\/png;base64,[^"]+)" alt="([^"]+)"/.exec(html)?.slice(1);

describe.each(LANGUAGES)('what shows before a letter is opened (%s)', (language) => {
  it.each(LETTER_KINDS)('%s promises nothing that does not stand in the letter', (kind) => {
    for (const letter of variants(kind, language)) expect(unkept(letter)).toEqual([]);
  });

  it.each(NOTES)('a note about %s neither', (id) => {
    const letter = renderLetter('care-note', noteAbout(id, language));
    expect(unkept(letter)).toEqual([]);
    expect(`${letter.subject} ${preheaderOf(letter)}`).not.toMatch(TELLS_OF_A_STAY);
    expect(letter.subject.length).toBeLessThanOrEqual(60);
    expect(preheaderOf(letter).length).toBeLessThanOrEqual(160);
  });
});

it('finds a promise that is not kept', () => {
  const letter = renderLetter('visit-booked', sampleModel('visit-booked'), {
    preheader: 'Please come with an empty top well. Coffee is on us.',
  });
  expect(unkept(letter)).toEqual(['Coffee is on us']);
});

describe.each(LANGUAGES)('care notes (%s)', (language) => {
  const letters = NOTES.map((id) => renderLetter('care-note', noteAbout(id, language)));

  it('have a subject, a preheader and a picture of their own each', () => {
    expect(NOTES.length).toBeGreaterThan(50);
    for (const part of [
      letters.map(({ subject }) => subject),
      letters.map((letter) => preheaderOf(letter)),
      letters.map((letter) => pictureIn(letter)?.[0]),
    ]) {
      expect(part.filter((one, i) => part.indexOf(one) !== i)).toEqual([]);
    }
  });

  it('say in words what the picture shows, stay small and lead to the sources', () => {
    for (const [i, letter] of letters.entries()) {
      expect(pictureIn(letter)?.[1]).toMatch(/^\p{Lu}.{8,}\.$/u);
      expect(Buffer.byteLength(letter.html)).toBeLessThanOrEqual(40 * 1024);
      const sources = `https://care.example.org/advice?in=${language}#${NOTES[i] ?? ''}`;
      expect(hrefsOf(letter.html)).toContain(sources);
      expect(letter.text).not.toMatch(/Who says so|Wer das sagt|common practice|Brauch/);
    }
  });
});

describe.each(LANGUAGES)('every letter (%s)', (language) => {
  const notes = NOTES.map((id) => renderLetter('care-note', noteAbout(id, language)));
  const sums = PLACES.flatMap((place) =>
    SALTS.flatMap((salt) => USES.map((use) => ({ place, salt, use }))),
  ).map((keeping) => {
    const model = sampleModel('lubrication-due', language);
    const { because } = lubricationInterval({ keeping, stiffOrMissing: true, unmovedDays: 90 });
    const [car] = model.cars;
    if (car === undefined) throw new Error('no car');
    return renderLetter('lubrication-due', { ...model, cars: [{ ...car, because }] });
  });
  const all = [...LETTER_KINDS.flatMap((kind) => variants(kind, language)), ...notes, ...sums];

  it('is free of codes and classes', () => {
    for (const { subject, text, html } of all) {
      expect(subject).not.toMatch(CODES);
      expect(text.replaceAll(/https?:\S+/g, '')).not.toMatch(CODES);
      expect([...html.matchAll(/alt="([^"]*)"/g)].map(([, alt]) => alt).join(' ')).not.toMatch(
        CODES,
      );
    }
  });

  it.runIf(language === 'de')('calls washers Unterlegscheiben', () => {
    for (const { text } of all) expect(text).not.toMatch(/(?<!\p{L})Scheiben(?!\p{L})/u);
    for (const { text, why } of ADVICE) {
      expect(`${text.de} ${why.de}`).not.toMatch(/(?<!\p{L})Scheiben(?!\p{L})/u);
    }
  });
});
