import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { slotsOf } from '../../../src/views/letters/slots.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { placesIn, voiceOf, type Words, wordsByLanguage } from '../../../src/views/words/words.ts';

const all = wordsByLanguage();
const english = all.get('en') ?? {};
const forms = (phrase: Words[string]): string[] =>
  typeof phrase === 'string' ? [phrase] : Object.values(phrase);

describe.each([...all.keys()])('words/%s.json', (language) => {
  const words = all.get(language) ?? {};

  it('has exactly the phrases that English has', () => {
    expect(Object.keys(words).toSorted()).toEqual(Object.keys(english).toSorted());
  });

  it('uses the places of the English phrase and no others', () => {
    for (const [key, phrase] of Object.entries(words)) {
      const known = new Set(forms(english[key] ?? '').flatMap(placesIn));
      const used = forms(phrase).flatMap(placesIn);
      expect({ key, strange: used.filter((place) => !known.has(place)) }).toEqual({
        key,
        strange: [],
      });
    }
  });

  it('has every form that the plural rule of the language asks for', () => {
    const wanted = new Intl.PluralRules(language).resolvedOptions().pluralCategories.toSorted();
    const counted = Object.entries(words).filter(([, phrase]) => typeof phrase !== 'string');
    expect(counted.length).toBeGreaterThan(10);
    for (const [key, phrase] of counted) {
      expect([key, Object.keys(phrase).toSorted()]).toEqual([key, wanted]);
    }
  });

  it('says something in every phrase, on one line but for the closing', () => {
    for (const [key, phrase] of Object.entries(words)) {
      for (const form of forms(phrase)) {
        expect(form.trim()).not.toBe('');
        expect(key === 'closing' || !/\p{Cc}/u.test(form)).toBe(true);
      }
    }
  });

  it('keeps its own wordings inside what an organisation may use', () => {
    for (const kind of LETTER_KINDS) {
      for (const { slot, places, maxLength } of slotsOf(kind)) {
        for (const form of forms(words[slot === 'closing' ? slot : `${kind}.${slot}`] ?? '')) {
          expect(placesIn(form).filter((place) => !places.includes(place))).toEqual([]);
          expect(form.length).toBeGreaterThan(0);
          expect(form.length).toBeLessThanOrEqual(maxLength);
        }
      }
    }
  });
});

it('speaks German with Sie', () => {
  const german = Object.values(all.get('de') ?? {})
    .flatMap(forms)
    .join('\n');
  expect(german).not.toMatch(/\b(?:du|dich|dir|dein|deine|deinem|deinen|deiner|euch|euer)\b/i);
});

function ahead(language: string): string {
  const model = sampleModel('lubrication-ahead');
  return renderLetter('lubrication-ahead', { ...model, language }).text;
}

describe('the language of a letter', () => {
  it('is the reader’s where there are words for it, else English throughout', () => {
    expect(voiceOf('de').language).toBe('de');
    expect(voiceOf('de-AT').language).toBe('de-AT');
    expect(voiceOf('EN-us').language).toBe('en-US');
    expect(voiceOf('fr').language).toBe('en');
    const { html, text } = renderLetter('care-note', {
      ...sampleModel('care-note'),
      language: 'fr',
    });
    expect(html).toContain('<html lang="en"');
    expect(text).toContain('Hello Ada Quill,');
  });

  it('writes days as the country does', () => {
    expect(ahead('en')).toMatch(/Monday,? 15 March 2027/);
    expect(ahead('en-US')).toMatch(/Monday, March 15, 2027/);
    expect(ahead('de')).toMatch(/Montag, 15\. März 2027/);
    expect(ahead('de-AT')).toMatch(/Montag, 15\. März 2027/);
  });
});
