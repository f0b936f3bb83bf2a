import { MARKS } from '../../../src/domain/figures/figure.ts';

/**
 * Whether a reader can find a source by what it says of itself: a standard or an RFC by its number, a
 * paper by author and year, a file of an open database by its name. "A car handbook" is not enough.
 */
export function isFindable(source: string): boolean {
  return /\b(?:ISO|IEC|EN|DIN|BS|ASTM|SAE|RFC|NIST SP)[ -]?\d|\b10\.\d{4,}\/|\b[A-Z][a-z]+ (?:and|&) [A-Z][a-z]+,? \(?(?:19|20)\d\d|\b[A-Z][a-z]+,? \((?:19|20)\d\d\)|\bzone\.tab\b|\b(?:HSE|OSHA|EH40|CLP)\b/.test(
    source,
  );
}

/** What is wrong with the mark of a number or a sentence of the trade, in words; null if nothing. */
export function markProblem({
  mark,
  source,
}: {
  readonly mark: string;
  readonly source: string;
}): string | null {
  if (!(MARKS as readonly string[]).includes(mark)) return `there is no mark "${mark}"`;
  if (source.trim().length < 5) return 'a source, or a reason where there is none, must be said';
  const published = mark.startsWith('published');
  return published && !isFindable(source) ? `nobody can find "${source}"` : null;
}
