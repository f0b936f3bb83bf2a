import { expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/views/letters/models.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { writeLetter } from './reading.ts';

it('writes a thousand letters without compiling or asking for a locale anew', () => {
  const models = LETTER_KINDS.map((kind) => [kind, sampleModel(kind)] as const);
  const write = () => {
    const before = process.cpuUsage();
    for (let n = 0; n < 1000; n += 1) {
      const [kind, model] = models[n % models.length] ?? ['care-note', sampleModel('care-note')];
      writeLetter(kind, model);
    }
    return process.cpuUsage(before).user / 1000;
  };
  // The goal is 100 ms; the bound leaves room for a busy machine and still catches a formatter or a
  // template that is made once a letter (some 1000 ms).
  expect(Math.min(write(), write(), write())).toBeLessThan(400);
});
