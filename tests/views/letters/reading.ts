import type { LetterKind, LetterModel } from '../../../src/views/letters/models.ts';
import { type WrittenLetter, renderLetter } from '../../../src/views/letters/render.ts';

/** Writes a letter from a model that need not be one: what arrives from elsewhere has no types. */
export function writeLetter(kind: string, model: unknown): WrittenLetter {
  // oxlint-disable-next-line typescript/no-unsafe-type-assertion -- wrong models are the point here
  return renderLetter(kind as LetterKind, model as LetterModel);
}

/** What a reader sees of an HTML letter: the words without tags, styles and entities. */
export function seen(html: string): string {
  return html
    .replaceAll(/<(style|title)[\s\S]*?<\/\1>/g, ' ')
    .replaceAll(/<br>/g, '\n')
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&');
}

/** The addresses of all links, as a mail program would open them. */
export function hrefsOf(html: string): string[] {
  return [...html.matchAll(/href="([^"]*)"/g)].map((match) =>
    (match[1] ?? '').replaceAll('&amp;', '&'),
  );
}

/** Node releases differ in the spaces and commas around days; the approved texts do not care. */
export function plainSpaces(text: string): string {
  return text
    .replaceAll(/ ?[\u2009\u202f\u00a0 ]?–[\u2009\u202f\u00a0 ]? ?/g, '–')
    .replaceAll(/[\u2009\u202f\u00a0]/g, ' ')
    .replaceAll(/(day|tag), (\d)/g, '$1 $2');
}
