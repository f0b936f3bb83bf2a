import { choiceFrom } from './cell-values.ts';
import { plainName } from './guess-columns.ts';
import type { ForAllLines } from './table-fields.ts';

/**
 * What an organisation's own words mean, field by field: the word as it is compared, and the word of
 * the closed list; an empty one where such a cell says nothing.
 */
export type OwnWords = Readonly<Partial<Record<ForAllLines, Readonly<Record<string, string>>>>>;

/**
 * The word of a closed list that a cell means: our own or what people write for it, else what the
 * organisation said of it, else the cell as it stands. Empty where the cell is to say nothing, as
 * one of signs alone does ("?", "–").
 */
export function wordFrom(
  field: ForAllLines,
  cell: string,
  known: readonly string[],
  words: OwnWords,
): string {
  const usual = choiceFrom(field, cell, known);
  if (known.includes(usual)) return usual;
  const own = words[field];
  const said = plainName(cell);
  if (said === '') return '';
  return own !== undefined && Object.hasOwn(own, said) ? (own[said] ?? cell) : cell;
}

/** Words of cells that no closed list knows, as first written, the most frequent first. */
export function unknownWords(
  field: ForAllLines,
  cells: readonly string[],
  known: readonly string[],
): readonly { readonly word: string; readonly count: number }[] {
  const found = new Map<string, { word: string; count: number }>();
  for (const cell of cells) {
    const word = cell.trim();
    const said = plainName(word);
    if (said === '' || known.includes(choiceFrom(field, word, known))) continue;
    const before = found.get(said);
    if (before === undefined) found.set(said, { word, count: 1 });
    else before.count += 1;
  }
  return [...found.values()].sort((a, b) => b.count - a.count);
}
