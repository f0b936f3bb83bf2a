import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../src/domain/round/letter-kind.ts';
import { renderLetter } from '../../src/views/letters/render.ts';
import { sampleModel } from '../../src/views/letters/sample.ts';
import { MOVE_FINDINGS } from '../../src/domain/may-move/move-findings.ts';
import type { MoveSign } from '../../src/domain/may-move/move-verdict.ts';
import { MOVE_HOWS, MOVE_SIGNS } from '../../src/domain/may-move/move-verdict.ts';
import { allWords, toldToMove, unknownKeys, unlisted } from './movement-words.ts';

const ROOMS = ['letters', 'pages'] as const;
const LANGUAGES = ['en', 'de'] as const;

describe('the words that speak of moving a top', () => {
  it('stand all in one of two lists: those never read beside a top that must stay, and the others', () => {
    const forgotten = ROOMS.flatMap((room) =>
      [...allWords(room)].flatMap(([language, words]) => unlisted(room, language, words)),
    );
    expect(forgotten).toEqual([]);
    expect(ROOMS.flatMap(unknownKeys)).toEqual([]);
  });

  it('are missed as soon as one is added and not listed', () => {
    expect(unlisted('letters', 'en', { 'new.step': 'Fold it twice.' })).toEqual([
      'letters en: new.step',
    ]);
    expect(unlisted('pages', 'de', { 'new.step': 'Erst das Verdeck verriegeln.' })).toHaveLength(1);
  });

  it.each([
    'Raise the top in one go and latch it.',
    'Move the top gently until then.',
    '<p>Please fold <b>your</b> top now</p>',
    '<button>I raised it</button>',
    'Bitte schließen Sie das Verdeck.',
    'Ich habe es geschlossen',
    'Half open the top with a second person.',
  ])('are found: %s', (sentence) => {
    expect(toldToMove(sentence)).not.toEqual([]);
  });

  it.each([
    'Do not move the top of FK 1, neither by hand nor by motor, until this has been mended:',
    'Bewegen Sie das Verdeck von FK 1 nicht, weder von Hand noch mit dem Antrieb, bis dies instand gesetzt ist:',
    'The top is folded since Monday 08:00',
  ])('are told from those that forbid it: %s', (sentence) => {
    expect(toldToMove(sentence)).toEqual([]);
  });
});

describe.each(LANGUAGES)('every kind of letter about a top that must stay (%s)', (language) => {
  const reasons = [
    ...MOVE_SIGNS.filter((sign) => sign !== 'found').map((sign) => ({
      sign,
      pivot: 'R-MAIN',
      fault: null,
    })),
    ...Object.keys(MOVE_FINDINGS).map((fault) => ({
      sign: 'found' as MoveSign,
      pivot: null,
      fault,
    })),
  ];

  it.each(LETTER_KINDS)('%s says so first and asks for nothing that moves it', (kind) => {
    const model = sampleModel(kind, language);
    const registration = model.cars[0]?.registration ?? '';
    for (const repairOn of [null, '2027-03-09']) {
      const moves = [{ registration, verdict: 'leave' as const, reasons, how: [], repairOn }];
      const own = { lead: 'Raise the top today, dear customer.', heading: 'Fold it now' };
      const { subject, text, html } = renderLetter(kind, { ...model, moves }, own);
      for (const said of [subject, text, html]) expect(toldToMove(said)).toEqual([]);
      const heading = language === 'en' ? 'Please leave the top' : 'Bitte lassen Sie das Verdeck';
      expect(text.indexOf(heading)).toBeGreaterThan(0);
      expect(text.indexOf(heading)).toBeLessThan(text.indexOf(model.owner.name));
      expect(text).toContain(repairOn === null ? '' : '2027');
    }
  });

  it.each(['folded-over', 'lubrication-due', 'visit-called-off', 'care-note'] as const)(
    '%s tells how to move a top that may be moved with care',
    (kind) => {
      const model = sampleModel(kind, language);
      const registration = model.cars[0]?.registration ?? '';
      const moves = [
        {
          registration,
          verdict: 'with-care' as const,
          reasons,
          how: [...MOVE_HOWS],
          repairOn: null,
        },
      ];
      const { text, html } = renderLetter(kind, { ...model, moves });
      for (const said of [text, html]) {
        expect(said).toContain(language === 'en' ? 'first resistance' : 'ersten Widerstand');
        expect(said).not.toMatch(/in one go|in einem Zug/);
      }
    },
  );
});
