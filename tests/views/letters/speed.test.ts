import { expect, it } from 'vitest';
import { LETTER_KINDS, type LetterModel } from '../../../src/views/letters/models.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { writeLetter } from './reading.ts';

const models = LETTER_KINDS.map((kind) => [kind, sampleModel(kind)] as const);

function millisecondsOf(letters: number, change: (model: LetterModel, n: number) => object) {
  const before = process.cpuUsage();
  for (let n = 0; n < letters; n += 1) {
    const [kind, model] = models[n % models.length] ?? ['care-note', sampleModel('care-note')];
    writeLetter(kind, change(model, n));
  }
  return process.cpuUsage(before).user / 1000;
}

const leastOfThree = (time: () => number) => Math.min(time(), time(), time());

it('writes a thousand letters without compiling or asking for a locale anew', () => {
  let senders = 0;
  const write = () =>
    millisecondsOf(1000, (model) => {
      senders += 1;
      // No two of these letters have one form.
      return { ...model, organisation: { ...model.organisation, name: `Shop ${senders}` } };
    });
  // The goal is 100 ms; the bound leaves room for a busy machine and still catches a formatter or a
  // template that is made once a letter (some 1000 ms on an idle one).
  expect(leastOfThree(write)).toBeLessThan(600);
});

it('writes a thousand letters that are alike by filling in their form', () => {
  const one = ({ cars, ...model }: LetterModel) => ({ ...model, cars: cars.slice(0, 1) });
  const alike = leastOfThree(() => millisecondsOf(1000, (model) => one(model)));
  const whole = leastOfThree(() =>
    millisecondsOf(1000, (model, n) => ({
      ...one(model),
      today: `${2000 + (n % 150)}-01-0${1 + (n % 9)}`,
    })),
  );
  expect(alike).toBeLessThan(whole / 2);
});
