/**
 * Pages that speak English alone, by their template: the reference is written from the description of
 * the API, which programs read and which is English; the words about it would not be made German alone.
 */
export const ENGLISH_BY_NATURE: readonly string[] = ['reference'];

/** Texts that are the same in every language, and those of the log, which no page shows. */
export const NO_WORDS: readonly string[] = [
  'mm',
  'the database is out',
  'unforeseen fault',
  'Android',
  'Windows',
  'Linux',
];
