/**
 * Pages that speak English alone as yet, by their template. A page leaves the list with its last English
 * word; the list ends empty.
 */
export const ENGLISH_ONLY: readonly string[] = ['front', 'pattern', 'patterns', 'reference'];

/** Texts that are the same in every language, and those of the log, which no page shows. */
export const NO_WORDS: readonly string[] = [
  'mm',
  'the database is out',
  'unforeseen fault',
  'Android',
  'Windows',
  'Linux',
];
