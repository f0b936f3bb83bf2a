import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const PAGES = 'src/http/pages/';

/** A file of the pages, its address from the root of the project. */
export interface Source {
  readonly path: string;
  readonly text: string;
}

function read(folder: string, ending: string): Source[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith(ending))
    .map((name) => join(folder, name))
    .map((path) => ({ path, text: readFileSync(join(ROOT, path), 'utf8') }));
}

/** Every template of the pages by its name: "tops", "parts/field". */
export const templates: ReadonlyMap<string, string> = new Map(
  read('templates/pages', '.eta').map(({ path, text }) => [
    path.slice('templates/pages/'.length, -'.eta'.length),
    text,
  ]),
);

/** Every source of the pages, by its path. */
export const sheets: ReadonlyMap<string, string> = new Map(
  read(PAGES, '.ts').map(({ path, text }) => [path, text]),
);

/** The source that declares the model of each page, by the page's template. */
export const sheetOf: ReadonlyMap<string, string> = new Map(
  [...sheets].flatMap(([path, text]) => {
    const [, declared = ''] = /interface PageModels \{\n([\s\S]*?)\n {2}\}/.exec(text) ?? [];
    return [...declared.matchAll(/^ {4}readonly '?([\w-]+)'?: /gm)].map(
      ([, name = '']) => [name, path] as const,
    );
  }),
);

/** Templates and all that they include, themselves among them. */
export function withParts(names: readonly string[]): string[] {
  return closure(names, (name) =>
    [...(templates.get(name) ?? '').matchAll(/(?:include|layout)\('\.\/([\w/-]+)'/g)].map(
      ([, part = '']) => (templates.has(part) ? part : `parts/${part}`),
    ),
  );
}

/** Sources and all of the pages that they import, themselves among them. */
export function withImports(paths: readonly string[]): string[] {
  return closure(paths, (path) =>
    [...(sheets.get(path) ?? '').matchAll(/from '(\.[^']+)'/g)]
      .map(([, target = '']) => join(dirname(path), target))
      .filter((target) => sheets.has(target)),
  );
}

function closure(first: readonly string[], next: (name: string) => string[]): string[] {
  const seen = new Set<string>();
  const open = [...first];
  for (let name = open.pop(); name !== undefined; name = open.pop()) {
    if (seen.has(name)) continue;
    seen.add(name);
    open.push(...next(name));
  }
  return [...seen].sort();
}

/** The texts between quotes of a source, those with places in pieces; comments and imports left out. */
export function literalsIn(source: string): string[] {
  const found: string[] = [];
  const text = source
    .replaceAll(/^(?:import|export) [^;]*? from '[^']+';$/gms, '')
    .replaceAll(
      /(?<=(?:[(=:,]|return) ?)\/(?![/*])(?:[^/\n\\[]|\\.|\[(?:[^\]\\\n]|\\.)*\])+\/[a-z]*/g,
      '',
    )
    .replaceAll(/[!=]== '[^']*'|case '[^']*'/g, '');
  const quoted =
    /\/\*[\s\S]*?\*\/|\/\/[^\n]*|'((?:[^'\\\n]|\\.)*)'|`((?:[^`\\]|\\.)*)`|"((?:[^"\\\n]|\\.)*)"/g;
  for (const [, single, many, double] of text.matchAll(quoted)) {
    if (many !== undefined) {
      found.push(...many.split(/\$\{[^{}]*(?:\{[^{}]*\}[^{}]*)*\}/));
      for (const [, inner = ''] of many.matchAll(/\$\{((?:[^{}]|\{[^{}]*\})*)\}/g)) {
        found.push(...literalsIn(inner));
      }
    }
    found.push(...[single, double].filter((one) => one !== undefined));
  }
  return found;
}

/** What a template would print whatever its model says: text between tags, named attributes, quoted texts. */
export function printedBy(template: string): string[] {
  const said = /it\.(?:nav\.)?(?:say|count)\((?:'[^']*'|`[^`]*`)/g;
  const outputs = [...template.matchAll(/<%[=~]([\s\S]*?)%>/g)].filter(
    ([whole]) => !whole.includes('include('),
  );
  const bare = template.replaceAll(/<%[\s\S]*?%>/g, '\u0000');
  const attributes = [...bare.matchAll(/\b(?:aria-label|placeholder|title|alt|content)="([^"]*)"/g)]
    .map(([, words = '']) => words)
    .filter((words) => !/^(?:width=|light dark|noindex)/.test(words));
  const inTag = (index: number) => {
    const before = template.slice(0, index).replaceAll(/<%[\s\S]*?%>/g, '');
    return before.lastIndexOf('<') > before.lastIndexOf('>');
  };
  const quoted = outputs
    .filter(({ index }) => !inTag(index))
    .flatMap(([, code = '']) => literalsIn(code.replaceAll(said, '')));
  const text = bare
    .replaceAll(/<(?:script|style|code)\b[\s\S]*?<\/(?:script|style|code)>/g, ' ')
    .replaceAll(/<[^>]*>/g, '\u0000')
    .split('\u0000');
  return [...text, ...attributes, ...quoted]
    .map((one) => one.replaceAll(/&\w+;/g, ' ').trim())
    .filter((one) => /\p{L}{2}/u.test(one));
}
