import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { isFoldedKind, type LetterKind } from '../../../src/views/letters/models.ts';
import { renderLetter, type WrittenLetter } from '../../../src/views/letters/render.ts';
import { RenderRefused } from '../../../src/views/words/refused.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { seen, writeLetter } from './reading.ts';
import { runs } from '../../setup/runs.ts';

/** Names as an enemy would choose them. */
const hostile = fc
  .array(
    fc.constantFrom(
      '<b>',
      '</td>',
      '"',
      "'",
      '&',
      '&lt;',
      '\r',
      '\n',
      '\0',
      '\u2028',
      'Bcc: x@example.org',
      '{{owner}}',
      '{{',
      '<%= it %>',
      '$&',
      'é',
      ' ',
      'a',
      '-->',
      '{{constructor}}',
      'undefined',
    ),
    { minLength: 1, maxLength: 8 },
  )
  .map((parts) => parts.join(''));

describe.each(LETTER_KINDS)('%s', (kind) => {
  it('lets no name break out of its header, its line or its tag', () => {
    fc.assert(
      fc.property(hostile, hostile, hostile, (owner, organisation, registration) => {
        const model = sampleModel(kind);
        const cars = model.cars.map((car) => ({ ...car, registration }));
        const changed = {
          ...model,
          cars,
          owner: { name: owner },
          organisation: { ...model.organisation, name: organisation },
        };
        const names = [owner, organisation, registration];
        const lawful = names.every((name) => name.trim() !== '' && !/[\p{Cc}\u2028]/u.test(name));
        const letter = written(kind, changed);
        expect(letter === null).toBe(!lawful);
        if (letter === null) return;
        const { subject, text, html } = letter;
        const signs = {
          forged: /[\p{Cc}\u2028\u2029]/u.test(subject),
          cells: html.match(/<\/td>/g)?.length,
          bold: html.includes('<b>'),
          named: text.includes(owner) && seen(html).includes(owner),
        };
        const cells = tagsOfSample(kind);
        // oxlint-disable-next-line vitest/no-conditional-expect -- unlawful names end above
        expect(signs).toEqual({ forged: false, cells, bold: false, named: true });
      }),
      { numRuns: runs(60) },
    );
  });
});

function written(kind: LetterKind, model: unknown): WrittenLetter | null {
  try {
    return writeLetter(kind, model);
  } catch (error) {
    if (error instanceof RenderRefused) return null;
    throw error;
  }
}

function tagsOfSample(kind: LetterKind): number {
  return renderLetter(kind, sampleModel(kind)).html.match(/<\/td>/g)?.length ?? 0;
}

describe('what shows before a letter about a folded car is opened', () => {
  it.each(LETTER_KINDS.filter(isFoldedKind))('%s: the same words for every car and day', (kind) => {
    for (const language of ['en', 'de']) {
      const shown = fc
        .sample(
          fc.record({
            registration: fc.stringMatching(/^[A-Z]{2} [0-9]{3}$/),
            startedAt: fc
              .integer({ min: 0, max: 364 })
              .map((n) => new Date(Date.UTC(2027, 0, 1 + n)).toISOString()),
            name: fc.stringMatching(/^[A-Z][a-z]{3,8}$/),
          }),
          30,
        )
        .map(({ registration, startedAt, name }) => {
          const model = sampleModel(kind, language);
          const cars = model.cars.map((car) => ({
            ...car,
            registration,
            startedAt,
            overAt: startedAt,
          }));
          const letter = writeLetter(kind, { ...model, cars, owner: { name } });
          return `${letter.subject} | ${/class="preheader"[^>]*>([^<]*)/.exec(letter.html)?.[1]}`;
        });
      expect(new Set(shown).size).toBe(1);
      expect(shown[0]?.replaceAll(/&#?\w+;/g, '')).not.toMatch(/\d/);
    }
  });

  it('hides what follows the preheader from the preview line', () => {
    const { html } = renderLetter('folded-still', sampleModel('folded-still'));
    expect(/class="preheader"[^>]*>[^<]*/.exec(html)?.[0]).toMatch(
      /(?:&#847; &zwnj; &nbsp; ?){20}/,
    );
  });
});
