import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import type { LetterModel } from '../../../src/views/letters/models.ts';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { sampleLetters } from './sample-letters.ts';
import { hrefsOf, plainSpaces, seen, writeLetter } from './reading.ts';

const GAP = /undefined|\bNaN\b|\[object |\{\{|\}\}|<%|%>|@include|@body/;

const flat = (words: string) => words.replaceAll(/[\s:]+/g, ' ').trim();

describe.each(sampleLetters())('$kind in $language', ({ kind, language, letter }) => {
  it('has a subject of one line that a phone shows', () => {
    expect(letter.subject).toMatch(/^\S.*\S$/u);
    expect(letter.subject.length).toBeLessThanOrEqual(80);
  });

  it('betrays neither position nor stay of a car where a locked screen shows it', () => {
    const preheader = /class="preheader"[^>]*>([^<]*)/.exec(letter.html)?.[1] ?? '';
    expect(preheader).not.toBe('');
    expect(`${letter.subject} ${preheader}`).not.toMatch(
      /fold|rais|latch|stand|parked|falt|offen|geöffnet|schließ|geschlossen|steht/i,
    );
  });

  it('has no gap in any part', () => {
    for (const part of [letter.subject, letter.text, letter.html]) {
      expect(part).not.toMatch(GAP);
      expect(part).not.toMatch(/\bnull\b/);
    }
  });

  it('says in the text part every address that the HTML part links to', () => {
    const hrefs = hrefsOf(letter.html);
    expect(hrefs.length).toBeGreaterThanOrEqual(2);
    for (const href of hrefs) expect(letter.text).toContain(href);
  });

  it('stays under 100 KB, its words under 30, and fetches nothing from outside', () => {
    expect(Buffer.byteLength(letter.html)).toBeLessThanOrEqual(100 * 1024);
    const words = letter.html.replaceAll(/src="[^"]*"/g, '');
    expect(Buffer.byteLength(words)).toBeLessThanOrEqual(30 * 1024);
    const sources = [...letter.html.matchAll(/src="([^"]*)"|url\(/g)].map((match) => match[1]);
    expect(sources).toHaveLength(['care-note', 'visit-report'].includes(kind) ? 2 : 1);
    for (const source of sources) expect(source).toMatch(/^data:image\//);
    expect(letter.html).not.toMatch(/<link|<script|@import|@font-face/);
  });

  it('is built for both colour schemes, small screens and its language', () => {
    expect(letter.html).toMatch(new RegExp(`<html lang="${language}"`));
    expect(letter.html).toContain('<meta name="color-scheme" content="light dark"');
    expect(letter.html).toContain('@media (prefers-color-scheme: dark)');
    expect(letter.html).toContain('@media (max-width: 480px)');
    expect(letter.html).toMatch(/<meta name="viewport" content="width=device-width/);
  });

  it('names sender, address, the reason it came and both ways out in both parts', () => {
    const { organisation } = sampleModel(kind, language);
    for (const part of [seen(letter.html), letter.text]) {
      expect(part).toContain(organisation.name);
      for (const piece of String(organisation.postalAddress).split('\n')) {
        expect(part).toContain(piece);
      }
      expect(part).toMatch(language === 'de' ? /Sie erhalten diesen Brief, weil/ : /because/);
      expect(part).toContain(language === 'de' ? 'abbestellen' : 'Stop letters');
    }
  });

  it('says the same in both parts, line by line', () => {
    const html = flat(seen(letter.html));
    const lines = letter.text.split('\n').map((line) => line.replace(/^\s*(?:\* |\d+\. )?/, ''));
    const ours = lines.filter((line) => line.length > 3 && !line.includes('://'));
    expect(ours.length).toBeGreaterThan(10);
    for (const line of ours) expect(html).toContain(flat(line));
  });

  it('reads as it was read and approved', () => {
    expect(plainSpaces(`${letter.subject}\n\n${letter.text}`)).toMatchSnapshot();
  });
});

it('keeps the HTML of a letter as it was looked at', () => {
  const letter = renderLetter('folded-over', sampleModel('folded-over'));
  expect(plainSpaces(letter.html)).toMatchSnapshot();
});

describe('the least and the most that a letter can carry', () => {
  it.each(LETTER_KINDS)('%s does without everything that may be absent', (kind) => {
    for (const organisationKind of ['shop', 'club', 'private'] as const) {
      const model = bare(sampleModel(kind), organisationKind);
      const letter = writeLetter(kind, model);
      expect(letter.text + letter.html).not.toMatch(GAP);
      expect(hrefsOf(letter.html)).toEqual([]);
      expect(letter.html.match(/src=/g) ?? []).toHaveLength(
        kind === 'care-note' || kind === 'visit-report' ? 1 : 0,
      );
    }
  });

  // A letter of the club to all is about nobody's car.
  const aboutCars = LETTER_KINDS.filter((kind) => kind !== 'club-letter');
  it.each(aboutCars)('%s takes a dozen cars into one letter', (kind) => {
    const model = sampleModel(kind);
    const cars = Array.from({ length: 12 }, (_, n) => ({
      ...model.cars[0],
      registration: `FK ${n + 100}`,
    }));
    // That they must stay is said of each.
    const moves = (model.moves ?? []).flatMap((move) =>
      cars.map(({ registration }) => ({ ...move, registration })),
    );
    const letter = writeLetter(kind, { ...model, cars, moves });
    for (const car of cars) expect(letter.text).toContain(car.registration);
    expect(letter.subject.length).toBeLessThanOrEqual(80);
    expect(Buffer.byteLength(letter.html)).toBeLessThanOrEqual(100 * 1024);
  });
});

function bare(model: LetterModel, kind: 'shop' | 'club' | 'private'): object {
  return {
    ...model,
    organisation: { ...model.organisation, kind, postalAddress: null, phone: null, logo: null },
    links: { preferences: null, stop: null, owner: null, advice: null, privacy: null },
    ...('offers' in model ? { offers: [] } : {}),
    ...('visit' in model && 'manage' in model.visit
      ? { visit: { ...model.visit, manage: null } }
      : {}),
    ...('estimate' in model
      ? { estimate: { ...model.estimate, tax: null, taxName: null, words: null, answer: null } }
      : {}),
  };
}

describe('speaking to the owner of the letter', () => {
  it('shows no steps for oiling to the customer of a shop, and shows them to a private owner', () => {
    const model = sampleModel('lubrication-due');
    const alone = { ...model, organisation: { ...model.organisation, kind: 'private' as const } };
    expect(renderLetter('lubrication-due', model).text).not.toContain('machine oil');
    expect(renderLetter('lubrication-due', alone).text).toContain('machine oil');
  });

  it.each(['folded-nearing', 'folded-over', 'folded-still'] as const)(
    'names in the first words of %s which top is meant: another of the owner may have to stay',
    (kind) => {
      for (const language of ['en', 'de']) {
        const model = sampleModel(kind, language);
        const { text } = renderLetter(kind, model);
        const head = text.slice(0, text.search(/^1\. /m));
        for (const { registration } of model.cars) expect(head).toContain(registration);
      }
    },
  );

  it('tells how to dry a top that was folded damp, and only that one', () => {
    expect(renderLetter('folded-over', sampleModel('folded-over')).text).toContain('wipe it down');
    const dry = renderLetter('folded-still', sampleModel('folded-still')).text;
    expect(dry).not.toContain('wipe it down');
    expect(dry).toContain('12 hours');
  });

  it('names no day gone by for the oiling to come', () => {
    const model = sampleModel('visit-report');
    const told = (nextDueOn: string) => renderLetter('visit-report', { ...model, nextDueOn }).text;
    expect(told(model.visit.doneOn)).toContain('The next oiling: now.');
    expect(told('2020-10-05')).not.toContain('2020');
    expect(told('2099-10-05')).toContain('5 October 2099');
  });

  it('puts the organisation’s own hours of rest in place of the shop rule', () => {
    const model = { ...sampleModel('folded-still'), restHours: 24 };
    expect(renderLetter('folded-still', model).text).toContain('24 hours');
  });

  it('calls a figure that nobody published a shop rule', () => {
    for (const [language, words] of [
      ['en', 'shop rule'],
      ['de', 'Werkstattregel'],
    ] as const) {
      for (const kind of ['lubrication-due', 'folded-over', 'visit-report'] as const) {
        expect(renderLetter(kind, sampleModel(kind, language)).text).toContain(words);
      }
    }
  });

  it('puts the handbook first wherever work can hurt', () => {
    for (const kind of ['lubrication-late', 'folded-nearing', 'care-note'] as const) {
      expect(renderLetter(kind, sampleModel(kind)).text).toContain(
        'The handbook of your car and local rules come first.',
      );
    }
  });

  it('speaks of no class of corrosion and of no code of a joint', () => {
    for (const language of ['en', 'de']) {
      for (const kind of LETTER_KINDS) {
        const { text } = renderLetter(kind, sampleModel(kind, language));
        expect(text).not.toMatch(/\b(?:class|Klasse) C\d|\b[LR]-[A-Z]/);
      }
    }
  });

  it('reports the worst pivot first, in words and shape', () => {
    const { text } = renderLetter('visit-report', sampleModel('visit-report'));
    expect(text.indexOf('1. Left link pivot 1 is stiff')).toBeGreaterThan(0);
    expect(text).toContain('▲ Plan a repair.');
    expect(text.indexOf('1. Left link pivot 1')).toBeLessThan(
      text.indexOf('2. Right knuckle joint 1 is dry. ◐ Watch.'),
    );
  });
});
