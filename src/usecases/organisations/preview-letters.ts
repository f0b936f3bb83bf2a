import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { LETTER_KINDS } from '../../domain/round/letter-kind.ts';
import { invalid } from '../../domain/refusal.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import { renderLetter } from '../../views/letters/render.ts';
import { sampleModel } from '../../views/letters/sample.ts';
import type { Overrides } from '../../views/letters/slots.ts';
import { wordsByLanguage } from '../../views/words/words.ts';
import type { Caller, Context } from '../context/context.ts';
import { showOrganisation } from './organisations.ts';
import { loadOwnStyle } from './own-style.ts';

/** A letter of one kind written from invented data. */
export interface LetterPreview {
  readonly kind: LetterKind;
  readonly language: string;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

type Organisation = LetterModel<'care-note'>['organisation'];

/** The languages that letters can be written in. */
export function letterLanguages(): string[] {
  return [...wordsByLanguage().keys()].sort();
}

/** Refuses a language for which there are no words. */
export function requireLanguage(language: string): void {
  if (wordsByLanguage().has(language)) return;
  throw invalid('language', `There are words for: ${letterLanguages().join(', ')}.`);
}

/** A kind of letter with invented people and cars, in our words or in those handed in. */
export function previewLetter(
  kind: LetterKind,
  language: string,
  own: Overrides = {},
  organisation?: Organisation,
): LetterPreview {
  requireLanguage(language);
  const sample = sampleModel(kind, language);
  const model = organisation === undefined ? sample : { ...sample, organisation: organisation };
  return { kind, language, ...renderLetter(kind, model, own) };
}

/** The same as the caller's organisation would send it: its name, its own wording. */
export async function previewOwnLetter(
  context: Context,
  caller: Caller,
  kind: LetterKind,
  language: string,
): Promise<LetterPreview> {
  requireLanguage(language);
  const {
    id,
    name,
    kind: of,
    postalAddress,
    phone,
    logo,
  } = await showOrganisation(context, caller);
  const own = await loadOwnStyle(context.store.sql, id);
  const organisation = { name, kind: of, postalAddress, phone, logo };
  return previewLetter(kind, language, own.words(id, language, kind), organisation);
}

/** A file of the preview folder. */
export interface PreviewFile {
  readonly name: string;
  readonly content: string;
}

/** Every kind in every language as HTML and text, and a page that leads to them. */
export function previewFiles(
  only: { readonly kind?: LetterKind | undefined; readonly language?: string | undefined } = {},
): PreviewFile[] {
  const languages = only.language === undefined ? letterLanguages() : [only.language];
  const kinds = only.kind === undefined ? LETTER_KINDS : [only.kind];
  const letters = languages.flatMap((language) =>
    kinds.map((kind) => ({ name: `${kind}.${language}`, letter: previewLetter(kind, language) })),
  );
  const rows = letters.map(
    ({ name, letter }) =>
      `<tr><td>${letter.kind}</td><td>${letter.language}</td><td><a href="${name}.html">${escaped(letter.subject)}</a></td><td><a href="${name}.txt">text</a></td></tr>`,
  );
  const index = `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark"><title>Letters</title>
<style>body{font:1.1rem/1.5 system-ui,sans-serif;margin:2rem auto;max-width:60rem;padding:0 1rem}td{padding:.3rem 1rem .3rem 0;vertical-align:top}</style></head>
<body><h1>Letters with sample data</h1><table>
${rows.join('\n')}
</table></body></html>
`;
  return [
    ...letters.flatMap(({ name, letter }) => [
      { name: `${name}.html`, content: letter.html },
      { name: `${name}.txt`, content: `${letter.subject}\n\n${letter.text}` },
    ]),
    { name: 'index.html', content: index },
  ];
}

function escaped(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
}
