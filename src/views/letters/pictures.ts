import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { kept } from '../words/kept.ts';

/** A picture in a letter: a data address, which leaves as an inline part, and what it shows in words. */
export interface Picture {
  readonly src: string;
  readonly alt: string;
}

const folder = new URL('../../../templates/compiled/', import.meta.url);
const TOLD = z.record(z.string(), z.strictObject({ en: z.string(), de: z.string() }));
let told: z.output<typeof TOLD> | undefined;
const drawn = new Map<string, string>();
const MOST_KEPT = 200;

/** The picture of a care advice, drawn when the letters were built; null for an advice that has none. */
export function notePicture(adviceId: string, language: string): Picture | null {
  told ??= TOLD.parse(JSON.parse(readFileSync(new URL('pictures.json', folder), 'utf8')));
  const words = Object.hasOwn(told, adviceId) ? told[adviceId] : undefined;
  if (words === undefined) return null;
  const read = () => readFileSync(new URL(`picture-${adviceId}.png`, folder)).toString('base64');
  const src = `data:image/png;base64,${kept(drawn, adviceId, read, MOST_KEPT)}`;
  return { src, alt: language.startsWith('de') ? words.de : words.en };
}
