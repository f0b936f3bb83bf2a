import { expect, test } from 'vitest';
import { z } from 'zod';
import { USUALLY_EXCLUDED, usualTermsInWords } from '../../../src/domain/warranty/usual-terms.ts';
import { frameReport } from '../../../src/domain/frame/frame-report.ts';
import { FRAME_PATTERNS } from '../../../src/domain/pivots/frame-patterns.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import { forbidden, saidInWords } from '../../../src/domain/faults/fault.ts';
import { heldAgainst } from '../../../src/domain/faults/held-against.ts';
import { askedIn } from '../../../src/domain/faults/next-check.ts';
import { SIGNS } from '../../../src/domain/faults/signs.ts';
import { WRONG_SALES } from '../../../src/domain/faults/wrong-sales.ts';
import { figuresFor } from '../../../src/domain/figure-tables/figure-tables.ts';
import { KITS } from '../../../src/domain/parts/kits.ts';
import { parseStatus, statusWords } from '../../../src/mail/enhanced-status.ts';
import { wordsOfReturn } from '../../../src/usecases/delivery/report-words.ts';
import { speakPlainly } from '../../../src/usecases/records/field-words.ts';
import {
  findingFields,
  patternPivotFields,
  readingFields,
  visitMeasures,
} from '../../../src/usecases/records/record-fields.ts';
import { toldWords } from '../../../src/views/words/told.ts';
import { voiceFor } from '../../../src/views/words/voice.ts';

test('what rules list for a form is told in every language', () => {
  const listed = [
    ...usualTermsInWords(),
    ...USUALLY_EXCLUDED,
    ...Object.values(FRAME_PATTERNS).map(({ label }) => label),
  ];
  const untold = [...toldWords()].flatMap(([language, told]) =>
    listed.filter((words) => !Object.hasOwn(told, words)).map((words) => `${language}: ${words}`),
  );
  expect(toldWords().size).toBeGreaterThan(0);
  expect(untold).toEqual([]);
});

/** Everything that fault finding can say of a sign, a fault, its work and its parts. */
function saidOfFaults(): string[] {
  const figures = {
    frame: figuresFor('frame'),
    pivots: figuresFor('pivots'),
    hole: figuresFor('hole'),
  };
  return [
    ...SIGNS.flatMap((sign) => [
      sign.text,
      ...(sign.how === undefined ? [] : [askedIn(sign)]),
      ...[heldAgainst(sign.id, figures, null).limit].filter((limit) => limit !== ''),
    ]),
    ...FAULTS.flatMap((fault) => [
      fault.item,
      fault.means,
      fault.remedy,
      forbidden(fault.mustNot),
      saidInWords(fault),
    ]),
    ...WRONG_SALES.flatMap(({ text, looksLikeText }) => [
      text,
      looksLikeText,
      `${text} ${looksLikeText}`,
    ]),
    ...Object.values(KITS).map(({ label }) => label),
  ];
}

test('what fault finding says is told in every language, sentence by sentence', () => {
  for (const language of toldWords().keys()) {
    const { tell } = voiceFor(language);
    const pieces = (words: string) => words.split(/(?<=[.!?]) (?=\p{Lu})/u);
    const untold = saidOfFaults().filter((words) =>
      pieces(words).some((piece) => tell(words).includes(piece)),
    );
    expect(untold).toEqual([]);
    expect(tell('Nobody ever wrote this sentence.')).toBe('Nobody ever wrote this sentence.');
  }
});

test('which joints explain the sway of a frame is told in every language, joint by joint', () => {
  const gap = { kind: 'link', gapMm: 0.6 } as const;
  const { because } = frameReport({
    fittedOn: '2026-01-01',
    today: '2026-12-01',
    readings: [{ doneOn: '2026-11-01', swayMm: 60 }],
    gaps: [
      { ...gap, pivot: 'L-LINK1' },
      { ...gap, pivot: 'R-MAIN', kind: 'main' },
      { ...gap, pivot: 'L-KNUCKLE2', kind: 'knuckle' },
    ],
    figures: figuresFor('frame'),
  });
  expect(because.join()).toMatch(/left link 1 \d+ %, /);
  for (const language of toldWords().keys()) {
    const told = because.map(voiceFor(language).tell).join();
    expect(told).not.toMatch(/\b(?:left|right|main|link|knuckle|explain)\b/);
    expect(told).toMatch(/Lenkergelenk 1 links \d+ %/);
  }
});

test('what became of a letter is told in every language, down to the reason', () => {
  const range = (most: number) => Array.from({ length: most + 1 }, (_, n) => n);
  const codes = range(9).flatMap((subject) =>
    range(11).flatMap((detail) => [4, 5].map((kind) => `${kind}.${subject}.${detail}`)),
  );
  const reasons = codes.flatMap((code) => {
    const status = parseStatus(code);
    return status === null ? [] : [{ code, words: statusWords(status) }];
  });
  const verdicts = ['dead', 'soft', 'policy', 'refused'] as const;
  const said = [
    ...reasons.map(({ words }) => words),
    ...reasons.map(({ words }) => `Not delivered (${words}): 552 5.2.2`),
    ...verdicts.flatMap((verdict) =>
      reasons.map(({ code }) =>
        wordsOfReturn(verdict, {
          address: null,
          originalAddress: null,
          action: 'failed',
          status: code,
          diagnostic: null,
          verdict: 'soft',
        }),
      ),
    ),
    'It is not sent once more: the receiving mail system did not take it in time.',
    'It is not sent once more: no longer true.',
    'It is not sent once more: out of date.',
    '3 letters came back within 30 days (shop rule)',
  ];
  expect(reasons).toHaveLength(codes.length);
  for (const language of toldWords().keys()) {
    const { tell } = voiceFor(language);
    const untold = said.filter((words) => /\b(?:the|was|no|not|letters?)\b/.test(tell(words)));
    expect(untold).toEqual([]);
  }
});

test('what a shape refuses in a form is told in every language', () => {
  speakPlainly();
  const shapes = [
    z.strictObject(visitMeasures),
    z.strictObject(readingFields),
    z.strictObject(findingFields),
    z.strictObject(patternPivotFields),
  ];
  const wrong = [-1, 1e9, 0.5, 'x'.repeat(5000), '', '\u202Eabc'];
  const said = shapes.flatMap((shape) =>
    Object.keys(shape.shape).flatMap((field) =>
      wrong.flatMap((value) => shape.safeParse({ [field]: value }).error?.issues ?? []),
    ),
  );
  const words = [...new Set(said.map(({ message }) => message))].filter(
    // The pages say these in words of their own.
    (message) => !/^(?:Missing\. |Give (?:a text|one of)|There is no such field)/.test(message),
  );
  expect(words.length).toBeGreaterThan(8);
  for (const language of toldWords().keys()) {
    const { tell } = voiceFor(language);
    expect(words.filter((message) => tell(message) === message)).toEqual([]);
  }
});
