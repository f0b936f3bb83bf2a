import { describe, expect, it } from 'vitest';
import { ADVICE } from '../../../src/domain/advice/advice-rows.ts';
import { CAUTIONS } from '../../../src/domain/cautions/cautions.ts';
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
  ...ADVICE.map(({ id, mark, source }) => ({ name: `advice ${id}`, mark, source })),
  ...CAUTIONS.map(({ id, mark, source }) => ({ name: `caution ${id}`, mark, source })),
  ...USUAL_TERMS.map(({ part, mark, source }) => ({ name: `term ${part}`, mark, source })),
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
    expect(ROWS.length).toBeGreaterThan(250);
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
