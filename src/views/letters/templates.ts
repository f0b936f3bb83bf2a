import { readFileSync } from 'node:fs';
import { Eta } from 'eta';
import type { LetterKind } from './models.ts';
import { printable } from './strict.ts';

type Write = (data: object) => string;

const folder = new URL('../../../templates/compiled/', import.meta.url);
const shared = { autoTrim: false, autoFilter: true, filterFunction: printable } as const;
const engines = {
  html: new Eta({ ...shared, autoEscape: true }),
  txt: new Eta({ ...shared, autoEscape: false }),
} as const;

/** A text as the HTML templates print it. */
export const escaped = engines.html.config.escapeFunction;

const known = new Map<string, Write>();

/**
 * The compiled template of a kind, read once. Templates are programs: they come from the package
 * alone, never from a person's wording. Throws where `node templates/build.mjs` was not run.
 */
export function templateOf(kind: LetterKind, format: 'html' | 'txt'): Write {
  const name = `${kind}.${format}.eta`;
  let write = known.get(name);
  if (!write) {
    const engine = engines[format];
    const run = engine.compile(compiled(name));
    write = (data) => run.call(engine, data);
    known.set(name, write);
  }
  return write;
}

function compiled(name: string): string {
  try {
    return readFileSync(new URL(name, folder), 'utf8');
  } catch (cause) {
    throw new Error(`${name} is not built; run: node templates/build.mjs`, { cause });
  }
}
