import { FIGURE_TABLES, figureNamed } from '../../domain/figure-tables/figure-tables.ts';
import { MARKS } from '../../domain/figures/figure.ts';
import type { Rule } from './rule.ts';

/** The full names of the figures that a rule goes by. */
export function figureNamesOf({ figures }: Pick<Rule, 'figures'>): string[] {
  return figures.flatMap((held) =>
    held.includes('.') ? [held] : Object.keys(figuresIn(held)).map((figure) => `${held}.${figure}`),
  );
}

/**
 * How many of the numbers behind a rule carry which mark, as the last line of its sum; empty where it goes
 * by none.
 */
export function marksInWords(rule: Pick<Rule, 'figures'>): string[] {
  const marks = figureNamesOf(rule).flatMap((name) => figureNamed(name)?.mark ?? []);
  if (marks.length === 0) return [];
  const counted = MARKS.flatMap((mark) => {
    const times = marks.filter((one) => one === mark).length;
    return times === 0 ? [] : [`${times} ${mark}`];
  });
  return [`the numbers behind it: ${counted.join('; ')}. Each with its source: GET /v1/rules`];
}

function figuresIn(table: string): object {
  return new Map<string, object>(Object.entries(FIGURE_TABLES)).get(table) ?? {};
}
