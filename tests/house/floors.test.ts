import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { ASK_THE_MACHINE, DOOR, FLOORS, NEIGHBOURS } from './rooms.ts';

const SRC = fileURLToPath(new URL('../../src', import.meta.url));
const MOST_FILES = 25;
const IMPURE = /^(node:|better-sqlite3|pg$|@prisma|nodemailer|fastify|eta$)/;
const DATABASE = /^(better-sqlite3|pg$|@prisma\/)/;
const EMPTY_NAMES = /(^|\/)(utils?|helpers?|common|types|index|manager|service)\.ts$/;

/** A statement's text or a question to Prisma: what only the store may hold. */
const SPEAKS_TO_DATABASE =
  /['`](?:SELECT|INSERT INTO|UPDATE|DELETE FROM|WITH) |\.(?:findMany|findFirst|findUnique|createMany|updateMany|deleteMany|upsert)\(/;

/** The time and chance of the machine: handed in, so that a test can be any day. */
const ASKS_THE_MACHINE = /\bDate\.now\b|\bnew Date\(\)|\bMath\.random\b/;

interface File {
  readonly path: string;
  readonly imports: readonly string[];
  readonly source?: string;
}

/** Every module named by a static or dynamic import or a re-export. */
export function importsOf(source: string): string[] {
  return [...withoutComments(source).matchAll(/\b(?:from|import)\s*\(?\s*(['"])([^'"\s]+)\1/g)].map(
    (m) => m[2] ?? '',
  );
}

function withoutComments(source: string): string {
  return source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
}

/** What breaks the house, in words; empty where it stands. */
export function faultsOf(files: readonly File[]): string[] {
  return [
    ...files.flatMap((file) => [
      ...nameFaults(file),
      ...databaseFaults(file),
      ...machineFaults(file),
      ...file.imports.flatMap(faultOf(file)),
    ]),
    ...crowded(files),
    ...circlesIn(graphOf(files)),
    ...circlesIn(foldersOf(files)),
  ];
}

function nameFaults({ path }: File): string[] {
  return EMPTY_NAMES.test(path) ? [`${path} has a name that says nothing`] : [];
}

function machineFaults({ path, source = '' }: File): string[] {
  const excused = DOOR.includes(path) || ASK_THE_MACHINE.includes(path);
  const asks = !excused && ASKS_THE_MACHINE.test(withoutComments(source));
  return asks ? [`${path} asks the machine for the time or for chance`] : [];
}

function databaseFaults({ path, source = '' }: File): string[] {
  const speaks = !path.startsWith('store/') && SPEAKS_TO_DATABASE.test(withoutComments(source));
  return speaks ? [`${path} speaks to the database above the store`] : [];
}

function faultOf({ path }: File): (name: string) => string[] {
  const floor = path.split('/')[0] ?? '';
  return (name) => {
    if (!name.startsWith('.')) {
      if (floor === 'domain' && IMPURE.test(name)) return [`${path} imports ${name}: not pure`];
      if (floor !== 'store' && DATABASE.test(name))
        return [`${path} imports ${name}: only the store speaks to the database`];
      return [];
    }
    const target = normalize(join(dirname(path), name));
    const to = target.split('/')[0] ?? '';
    if (DOOR.includes(path)) return [];
    if (DOOR.includes(target)) return [`${path} imports the door (${target})`];
    if (to !== floor) {
      return (FLOORS[floor] ?? []).includes(to) ? [] : [`${path} imports ${target}`];
    }
    return neighbourly(floor, path, target) ? [] : [`${path} imports its neighbour ${target}`];
  };
}

/** Files of a floor itself wire its rooms and import any; a room imports what the table allows it. */
function neighbourly(floor: string, path: string, target: string): boolean {
  const rooms = NEIGHBOURS[floor];
  const [from, to] = [path, target].map((file) => dirname(relative(floor, file)));
  if (rooms === undefined || from === undefined || to === undefined) return true;
  if (from === to || from === '.' || to === '.' || to.startsWith('generated')) return true;
  return to.startsWith(`${from}/`) || (rooms[from] ?? []).includes(to);
}

function crowded(files: readonly File[]): string[] {
  const counts = new Map<string, number>();
  for (const { path } of files) counts.set(dirname(path), (counts.get(dirname(path)) ?? 0) + 1);
  return [...counts]
    .filter(([, count]) => count > MOST_FILES)
    .map(([folder, count]) => `${folder} holds ${count} files`);
}

type Graph = ReadonlyMap<string, ReadonlySet<string>>;

function graphOf(files: readonly File[]): Graph {
  return new Map(
    files.map(({ path, imports }) => [
      path,
      new Set(
        imports.filter((n) => n.startsWith('.')).map((n) => normalize(join(dirname(path), n))),
      ),
    ]),
  );
}

function foldersOf(files: readonly File[]): Graph {
  const folders = new Map<string, Set<string>>();
  for (const [path, targets] of graphOf(files)) {
    const from = dirname(path);
    const known = folders.get(from) ?? new Set();
    for (const to of targets) if (dirname(to) !== from) known.add(dirname(to));
    folders.set(from, known);
  }
  return folders;
}

function circlesIn(graph: Graph): string[] {
  const done = new Set<string>();
  const faults: string[] = [];
  const walk = (node: string, trail: readonly string[]): void => {
    const at = trail.indexOf(node);
    if (at >= 0) faults.push(`circle: ${[...trail.slice(at), node].join(' -> ')}`);
    if (at >= 0 || done.has(node)) return;
    for (const next of graph.get(node) ?? []) walk(next, [...trail, node]);
    done.add(node);
  };
  for (const node of graph.keys()) walk(node, []);
  return faults;
}

function sources(): File[] {
  return readdirSync(SRC, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.ts') && !path.startsWith(join('store', 'generated')))
    .map((path) => {
      const source = readFileSync(join(SRC, path), 'utf8');
      const imports = importsOf(source);
      return { path: relative('.', path).replaceAll('\\', '/'), imports, source };
    });
}

describe('the house', () => {
  it('stands: imports go down only, without circles, and the domain is pure', () => {
    const files = sources();
    expect(files.length).toBeGreaterThan(100);
    expect(faultsOf(files)).toEqual([]);
  });

  it('knows every room, and no room that is gone', () => {
    const rooms = new Set(sources().map(({ path }) => dirname(path)));
    for (const [floor, table] of Object.entries(NEIGHBOURS)) {
      const standing = [...rooms].filter((room) => room.startsWith(`${floor}/`));
      expect(standing.map((room) => relative(floor, room)).sort()).toEqual(
        Object.keys(table).sort(),
      );
    }
  });

  it.each([
    ['domain/round/x.ts', "import { a } from '../../store/database/sql.ts';"],
    ['domain/round/x.ts', "import type { a } from '../../usecases/context/context.ts';"],
    ['domain/round/x.ts', "import { readFileSync } from 'node:fs';"],
    ['domain/folding/x.ts', "import { a } from '../round/occasion.ts';"],
    ['store/x.ts', "export * from '../mail/outgoing.ts';"],
    ['usecases/round/x.ts', "const a = await import('../../http/server.ts');"],
    ['usecases/cars/x.ts', "import { a } from '../day/read-calls.ts';"],
    ['usecases/round/x.ts', "import Database from 'better-sqlite3';"],
    ['http/x.ts', "import { a } from '../store/database/sql.ts';"],
    ['http/pages/frame/x.ts', "import { a } from '../owners/owner-sheet.ts';"],
    ['cli/x.ts', "import { a } from '../cron/clockwork.ts';"],
    ['cron/x.ts', "import { readSettings } from '../config.ts';"],
    ['usecases/round/helpers.ts', ''],
    ['usecases/round/x.ts', `await sql.all('SELECT "id" FROM "car"')`],
    ['http/api/x.ts', 'await context.store.records.car.findMany({})'],
    ['usecases/round/x.ts', 'const at = Date.now();'],
    ['mail/x.ts', 'const at = new Date().toISOString();'],
    ['domain/round/x.ts', 'const chance = Math.random();'],
  ])('falls with %s: %s', (path, source) => {
    expect(faultsOf([{ path, imports: importsOf(source), source }])).toHaveLength(1);
  });

  it('falls with a circle, of files or of folders', () => {
    expect(
      faultsOf([
        { path: 'mail/a.ts', imports: ['./b.ts'] },
        { path: 'mail/b.ts', imports: ['./a.ts'] },
      ]),
    ).toEqual(['circle: mail/a.ts -> mail/b.ts -> mail/a.ts']);
    expect(
      faultsOf([
        { path: 'mail/in/a.ts', imports: ['../out/b.ts'] },
        { path: 'mail/out/c.ts', imports: ['../in/d.ts'] },
      ]),
    ).toEqual(['circle: mail/in -> mail/out -> mail/in']);
  });

  it('falls with a heap', () => {
    const heap = Array.from({ length: 26 }, (_, i) => ({ path: `mail/${i}.ts`, imports: [] }));
    expect(faultsOf(heap)).toEqual(['mail holds 26 files']);
  });
});
