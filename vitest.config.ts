import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig } from 'vitest/config';

const LONG = 'tests/**/*.long.test.ts';
// They touch no database, no server and no global: loading the program once is enough for all.
const PURE = ['tests/domain/**/*.test.ts', 'tests/house/**/*.test.ts'];

const silent = 'tests/setup/silent-console.ts';
const runs = 'tests/setup/share-of-runs.ts';
const QUICK = { databasesTried: 'sqlite', shareOfRuns: 0.25 } as const;
const shared = {
  testTimeout: 60_000,
  hookTimeout: 120_000,
  // Tests throw most of what they make away at once: with room for it nobody tidies up after each.
  execArgv: ['--max-semi-space-size=64'],
};
const served = {
  ...shared,
  globalSetup: ['tests/setup/database-templates.ts'],
  setupFiles: [silent, runs, 'tests/setup/own-databases.ts'],
};

/** The files of tests whose text has one of these words. */
function filesWith(...words: readonly string[]): string[] {
  const files = readdirSync('tests', { recursive: true, encoding: 'utf8' }).map(
    (file) => `tests/${file}`,
  );
  return files.filter((file) => {
    if (!file.endsWith('.test.ts')) return false;
    const text = readFileSync(file, 'utf8');
    return words.some((word) => text.includes(word));
  });
}

export default defineConfig({
  test: {
    maxWorkers: 2,
    experimental: { fsModuleCache: true },
    reporters: ['default', './tests/setup/say-long.ts'],
    projects: [
      {
        test: {
          ...shared,
          name: 'pure',
          include: PURE,
          exclude: [LONG],
          setupFiles: [silent, runs],
          provide: QUICK,
          isolate: false,
        },
      },
      {
        test: {
          ...served,
          name: 'served',
          include: ['tests/**/*.test.ts'],
          exclude: [LONG, ...PURE],
          provide: QUICK,
          isolate: false,
        },
      },
      {
        test: {
          ...served,
          name: 'postgresql',
          // The suites that the project `served` runs on SQLite alone.
          include: filesWith('eachDatabase('),
          exclude: [LONG],
          provide: { databasesTried: 'postgresql', shareOfRuns: 1 },
          isolate: false,
        },
      },
      {
        test: {
          ...served,
          name: 'properties',
          // Every property with all of its runs, of which the suite makes a quarter.
          include: filesWith('fc.assert(', 'fc.check('),
          exclude: [LONG],
          provide: { databasesTried: 'sqlite', shareOfRuns: 1 },
          isolate: false,
        },
      },
      {
        test: {
          ...served,
          name: 'long',
          include: [LONG],
          // A machine that does other things starts a program in its own time.
          testTimeout: 180_000,
          hookTimeout: 300_000,
          provide: { databasesTried: 'both', shareOfRuns: 1 },
        },
      },
    ],
  },
});
