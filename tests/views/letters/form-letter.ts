import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { type LetterKind, type LetterModel } from '../../../src/views/letters/models.ts';
import { renderLetter, type WrittenLetter, writeWhole } from '../../../src/views/letters/render.ts';
import { RenderRefused } from '../../../src/views/words/refused.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { writeLetter } from './reading.ts';

const LANGUAGES = ['en', 'de', 'de-AT', 'fr'];

const word = fc
  .array(
    fc.constantFrom(
      ' ',
      'a',
      'É',
      '字',
      '<i>',
      '&amp;',
      '"',
      "'",
      '$&',
      '$1',
      '{{owner}}',
      '-',
      '0',
    ),
    { minLength: 1, maxLength: 6 },
  )
  .map((parts) => parts.join(''))
  .filter((text) => text.trim() !== '');
const address = fc
  .webUrl({ validSchemes: ['https'], withQueryParameters: true })
  .filter((url) => !/["'`<>\\]/.test(url));
const link = fc.option(address, { nil: null });
const particulars = fc.record({
  owner: word,
  registration: word,
  links: fc.tuple(link, link, link),
});

type Particulars = typeof particulars extends fc.Arbitrary<infer T> ? T : never;

/** The sample letter of a kind, to one reader about one car. */
function letterTo(kind: LetterKind, language: string, to: Particulars): LetterModel {
  const model = sampleModel(kind, language);
  const [preferences, stop, owner] = to.links;
  const cars = model.cars.slice(0, 1).map((car) => ({ ...car, registration: to.registration }));
  const links = { ...model.links, preferences, stop, owner };
  return { ...model, language, owner: { name: to.owner }, cars, links } as LetterModel;
}

type Outcome = WrittenLetter | { refused: string };

function outcome(write: () => WrittenLetter): Outcome {
  try {
    return write();
  } catch (error) {
    if (error instanceof RenderRefused) return { refused: error.message };
    throw error;
  }
}

const OTHERS = [null, true, 7, Number.NaN, 'Other', '2027-03-04', undefined];

/** How much is tried of each kind: so many readers, and every nth of its fields. */
export interface FormsTried {
  readonly readers: number;
  readonly everyField: number;
}

/** Tries that a letter by form is the letter that its whole model would be written to. */
export function tryForms({ readers, everyField }: FormsTried): void {
  describe.each(LETTER_KINDS)('%s', (kind) => tryFormOf(kind, readers, everyField));
}

function tryFormOf(kind: LetterKind, readers: number, everyField: number): void {
  it('by form is the letter written from its model alone, whoever it goes to', () => {
    fc.assert(
      fc.property(particulars, fc.constantFrom(...LANGUAGES), (to, language) => {
        const model = letterTo(kind, language, to);
        expect(renderLetter(kind, model)).toEqual(writeWhole(kind, model, {}));
      }),
      { numRuns: readers },
    );
  });

  it('takes no form of a letter that differs in any other field', () => {
    const [to] = fc.sample(particulars, 1);
    if (to === undefined) throw new Error('nothing drawn');
    const build = () => letterTo(kind, 'en', to);
    renderLetter(kind, build());
    let changed = 0;
    // Kinds begin at different fields, so that together they try those that all have.
    const first = LETTER_KINDS.indexOf(kind) % everyField;
    const fields = leavesOf(build());
    const paths = fields.filter((_, at) => at % everyField === first);
    for (const path of paths) {
      for (const value of OTHERS) {
        const model = withLeaf(build(), path, value);
        const whole = outcome(() => writeWhole(kind, model as LetterModel, {}));
        expect(outcome(() => writeLetter(kind, model))).toEqual(whole);
        changed += 1;
      }
    }
    expect(changed).toBe(paths.length * OTHERS.length);
    expect(fields.length * OTHERS.length).toBeGreaterThan(100);
  });
}

function leavesOf(value: unknown): string[][] {
  if (typeof value !== 'object' || value === null) return [[]];
  return Object.entries(value).flatMap(([name, part]) =>
    leavesOf(part).map((path) => [name, ...path]),
  );
}

function withLeaf(value: unknown, path: readonly string[], leaf: unknown): unknown {
  const [name, ...rest] = path;
  if (name === undefined) return leaf;
  if (Array.isArray(value)) {
    return value.map((part, i) => (String(i) === name ? withLeaf(part, rest, leaf) : part));
  }
  const tree = value as Record<string, unknown>;
  return { ...tree, [name]: withLeaf(tree[name], rest, leaf) };
}
