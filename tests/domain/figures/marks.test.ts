import { describe, expect, it } from 'vitest';
import { ADVICE } from '../../../src/domain/advice/advice-rows.ts';
import { CAUTIONS } from '../../../src/domain/cautions/cautions.ts';
import { FAULTS } from '../../../src/domain/faults/fault-rows.ts';
import { signOf } from '../../../src/domain/faults/signs.ts';
import { FIGURE_TABLES } from '../../../src/domain/figure-tables/figure-tables.ts';
import type { Figure } from '../../../src/domain/figures/figure.ts';
import { isFindable, markProblem } from './mark-problem.ts';
import {
  CLEARANCE_HOLES,
  HEXAGONS,
  PLAIN_WASHERS,
} from '../../../src/domain/hardware/iso-sizes.ts';
import { USUAL_TERMS } from '../../../src/domain/warranty/usual-terms.ts';

interface Marked {
  readonly name: string;
  readonly mark: string;
  readonly source: string;
}

const FIGURES: (Figure & { name: string })[] = Object.entries(FIGURE_TABLES).flatMap(
  ([table, figures]) =>
    Object.entries<Figure>(figures).map(([name, figure]) => ({
      ...figure,
      name: `${table}.${name}`,
    })),
);
const ROWS: Marked[] = [
  ...FIGURES,
  ...ADVICE.map(({ id, mark, source }) => ({ name: `advice ${id}`, mark, source: source.en })),
  ...CAUTIONS.map(({ id, mark, source }) => ({ name: `caution ${id}`, mark, source })),
  ...USUAL_TERMS.map(({ part, mark, source }) => ({ name: `term ${part}`, mark, source })),
  ...FAULTS.flatMap(({ id, numbers, proofSaid, ...row }) => [
    { name: `fault ${id}`, mark: row.mark, source: row.source },
    { name: `proof of ${id}`, ...proofSaid },
    ...numbers.map(({ text, ...said }) => ({ name: `${id}: ${text}`, ...said })),
  ]),
  ...[CLEARANCE_HOLES, PLAIN_WASHERS, HEXAGONS].map(({ mark, source }) => ({
    name: source,
    mark,
    source,
  })),
];

describe('every number and sentence of the trade', () => {
  it('has a mark of the closed list, and is "published" only where a reader can find it', () => {
    const wrong = ROWS.flatMap(({ name, ...row }) => {
      const problem = markProblem(row);
      return problem === null ? [] : [`${name}: ${problem}`];
    });
    expect(wrong).toEqual([]);
    expect(ROWS.length).toBeGreaterThan(350);
  });

  it('has a mark of its own for each number that the words of a fault or its proof name', () => {
    const unmarked = FAULTS.flatMap((fault) => {
      const { how = '', text } = signOf(fault.proof) ?? { text: '' };
      const said = [fault.means, fault.remedy, fault.mustNot, text, how].join('; ');
      const covered = fault.numbers.reduce((left, one) => left.replaceAll(one.text, ''), said);
      const stray = fault.numbers.filter((one) => !said.includes(one.text));
      return [...(covered.match(/[^;,]*\d[^;,]*/g) ?? []), ...stray].map((at) => [fault.id, at]);
    });
    expect(unmarked).toEqual([]);
  });

  it('is nowhere a shop rule that no organisation can change, among the faults', () => {
    const said = FAULTS.flatMap(({ mark, proofSaid, numbers }) => [
      mark,
      proofSaid.mark,
      ...numbers.map((one) => one.mark),
    ]);
    expect(said).not.toContain('shop rule');
  });

  it('can be set by an organisation exactly where it is a shop rule, its default inside the bounds', () => {
    const wrong = FIGURES.filter(({ mark, min, max, value }) =>
      mark === 'shop rule'
        ? min === undefined || max === undefined || value < min || value > max
        : min !== undefined || max !== undefined,
    );
    expect(wrong.map(({ name }) => name)).toEqual([]);
  });

  it.each([
    ['ISO 9223:2012 Table 2', true],
    ['RFC 7529, SKIP=BACKWARD', true],
    ['Sen (1968), Journal of the American Statistical Association', true],
    ['four car handbooks agree', false],
    ['newspaper columns on cars', false],
    ['a soft-top cleaning specialist', false],
    ["a seller's page on tops", false],
  ])('whose source is "%s" can be found: %s', (source, found) => {
    expect(isFindable(source)).toBe(found);
    const problem = markProblem({ mark: 'published, secondary copy', source });
    expect(problem === null).toBe(found);
  });

  it('is refused a mark that is not in the list', () => {
    expect(markProblem({ mark: 'well known', source: 'everybody says so' })).toContain('no mark');
    expect(markProblem({ mark: 'shop rule', source: '' })).toContain('must be said');
  });
});
