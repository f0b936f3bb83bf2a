import { textsOf } from './english-texts.ts';

const ISO_DAY = /\d{4}-\d{2}-\d{2}/;

/** Texts in which a day is written for programs. */
export function isoDaysIn(html: string): string[] {
  return textsOf(html).filter((text) => ISO_DAY.test(text));
}

/** What is read of a letter. */
export interface ReadLetter {
  readonly kind: string;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

/** Lines of a letter in which one is, behind its kind. */
export function isoDaysInLetter({ kind, subject, text, html }: ReadLetter): string[] {
  return [subject, ...text.split('\n'), ...textsOf(html)]
    .filter((line) => ISO_DAY.test(line))
    .map((line) => `${kind}: ${line}`);
}
