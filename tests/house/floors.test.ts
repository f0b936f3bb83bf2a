import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const SRC = fileURLToPath(new URL('../../src', import.meta.url));

/** Which rooms a room may import from, besides itself. The door may import everything. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  domain: [],
  store: ['domain'],
  mail: ['domain'],
  views: ['domain'],
  usecases: ['domain', 'store', 'mail', 'views'],
  // A page is a use case's answer turned into HTML, so the entrance may reach for the templates.
  http: ['usecases', 'domain', 'views'],
  cron: ['usecases', 'domain'],
  cli: ['usecases', 'domain'],
};
const DOOR = ['main.ts', 'app.ts', 'config.ts'];
const IMPURE = /^(node:|better-sqlite3|pg$|@prisma|nodemailer|fastify|eta$)/;
const EMPTY_NAMES = /(^|\/)(utils?|helpers?|common|types|index|manager|service)\.ts$/;

interface File {
  readonly path: string;
  readonly imports: readonly string[];
}

/** Every module named by a static or dynamic import or a re-export. */
export function importsOf(source: string): string[] {
  const code = source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  return [...code.matchAll(/\b(?:from|import)\s*\(?\s*['"]([^'"]+)['"]/g)].map((m) => m[1] ?? '');
}

/** What breaks the house, in words; empty where it stands. */
export function faultsOf(files: readonly File[]): string[] {
  const faults: string[] = [];
  for (const { path, imports } of files) {
    const room = path.split('/')[0] ?? '';
    if (EMPTY_NAMES.test(path)) faults.push(`${path} has a name that says nothing`);
    for (const name of imports) {
      if (!name.startsWith('.')) {
        if (room === 'domain' && IMPURE.test(name))
          faults.push(`${path} imports ${name}: not pure`);
        continue;
      }
      const target = normalize(join(dirname(path), name));
      const to = target.split('/')[0] ?? '';
      if (DOOR.includes(path)) continue;
      if (DOOR.includes(target)) faults.push(`${path} imports the door (${target})`);
      else if (to !== room && !(MAY_IMPORT[room] ?? []).includes(to)) {
        faults.push(`${path} imports ${target}`);
      }
    }
  }
  return [...faults, ...circlesIn(files)];
}

function circlesIn(files: readonly File[]): string[] {
  const graph = new Map(
    files.map(({ path, imports }) => [
      path,
      imports.filter((n) => n.startsWith('.')).map((n) => normalize(join(dirname(path), n))),
    ]),
  );
  const done = new Set<string>();
  const faults: string[] = [];
  const walk = (path: string, trail: readonly string[]): void => {
    const at = trail.indexOf(path);
    if (at >= 0) faults.push(`circle: ${[...trail.slice(at), path].join(' -> ')}`);
    if (at >= 0 || done.has(path)) return;
    for (const next of graph.get(path) ?? []) walk(next, [...trail, path]);
    done.add(path);
  };
  for (const path of graph.keys()) walk(path, []);
  return faults;
}

function sources(): File[] {
  return readdirSync(SRC, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.ts') && !path.startsWith(join('store', 'generated')))
    .map((path) => ({
      path: relative('.', path).replaceAll('\\', '/'),
      imports: importsOf(readFileSync(join(SRC, path), 'utf8')),
    }));
}

describe('the house', () => {
  it('stands: imports go down only, without circles, and the domain is pure', () => {
    const files = sources();
    expect(files.length).toBeGreaterThan(100);
    expect(faultsOf(files)).toEqual([]);
  });

  it.each([
    ['domain/round/x.ts', "import { a } from '../../store/sql.ts';"],
    ['domain/round/x.ts', "import type { a } from '../../usecases/deed.ts';"],
    ['domain/round/x.ts', "import { readFileSync } from 'node:fs';"],
    ['store/x.ts', "export * from '../mail/outgoing.ts';"],
    ['usecases/x.ts', "const a = await import('../http/server.ts');"],
    ['http/x.ts', "import { a } from '../store/sql.ts';"],
    ['cli/x.ts', "import { a } from '../cron/clockwork.ts';"],
    ['cron/x.ts', "import { readSettings } from '../config.ts';"],
    ['usecases/helpers.ts', ''],
  ])('falls with %s: %s', (path, source) => {
    expect(faultsOf([{ path, imports: importsOf(source) }])).toHaveLength(1);
  });

  it('falls with a circle', () => {
    const faults = faultsOf([
      { path: 'domain/a.ts', imports: ['./b.ts'] },
      { path: 'domain/b.ts', imports: ['./a.ts'] },
    ]);
    expect(faults).toEqual(['circle: domain/a.ts -> domain/b.ts -> domain/a.ts']);
  });
});
