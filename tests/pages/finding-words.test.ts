import { voiceFor } from '../../src/views/words/voice.ts';
import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { findingInWords } from '../../src/http/pages/frame/finding-words.ts';
import { sentence, writtenByRule } from '../../src/views/words/written.ts';

it.each([
  ['A seam opens.', 'A seam opens.'],
  ['a seam opens', 'a seam opens.'],
  ['Why is it wet?', 'Why is it wet?'],
  ['He said “it leaks.”', 'He said “it leaks.”'],
  ['Rust at the lid: ', 'Rust at the lid.'],
])('a finding written as "%s" is read as "%s"', (written, read) => {
  expect(sentence(written)).toBe(read);
});

it('is told whole, sentence by sentence, however it was written', () => {
  const seam = { pivot: 'L-MAIN', text: 'A seam opens', advised: 'Sew it', outcome: 'accepted' };
  expect(findingInWords(seam, voiceFor('en'))).toBe(
    'left main pivot: A seam opens. Advised: Sew it. Agreed.',
  );
  const outcome = fc.constantFrom('advised', 'accepted', 'declined', 'done');
  const words = fc.constantFrom('A seam opens.', 'A seam opens', 'A seam opens:', 'Wet?', 'x …');
  fc.assert(
    fc.property(words, fc.option(words), outcome, (text, advised, came) => {
      const told = findingInWords({ pivot: null, text, advised, outcome: came }, voiceFor('en'));
      expect(told).not.toMatch(/[.!?:][.:,;]|[a-z] [A-Z]/);
      expect(told.endsWith('.')).toBe(true);
    }),
  );
});

it('of fault finding is told in the reader’s language, and what was typed stays as it is', () => {
  const plan = {
    pivot: 'L-MAIN',
    text: 'stiff pivot (proven)',
    advised: 'penetrant, work it free, flush, oil, and look again after some weeks',
    outcome: 'advised',
  };
  const german = findingInWords(plan, voiceFor('de'));
  expect(german).toContain('Hauptgelenk links: schwergängiges Gelenk (');
  expect(german).toContain('Rat: Rostlöser, gangbar machen');
  const text = voiceFor('de').tell(plan.text);
  const advised = voiceFor('de').tell(plan.advised);
  expect(findingInWords({ ...plan, text, advised }, voiceFor('en'))).toBe(
    findingInWords(plan, voiceFor('en')),
  );
  expect(writtenByRule('Naht offen, hinten links', 'en')).toBeNull();
});
