import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig } from 'vitest/config';

const LONG = 'tests/**/*.long.test.ts';
// They touch no database, no server and no global: loading the program once is enough for all.
const PURE = ['tests/domain/**/*.test.ts', 'tests/house/**/*.test.ts'];

const silent = 'tests/setup/silent-console.ts';
const shared = { testTimeout: 60_000, hookTimeout: 120_000 };
const served = {
  ...shared,
  globalSetup: ['tests/setup/database-templates.ts'],
  setupFiles: [silent, 'tests/setup/own-databases.ts'],
};

/** The files whose suites the project `served` runs on SQLite alone. */
function forEachDatabase(): string[] {
  const files = readdirSync('tests', { recursive: true, encoding: 'utf8' }).map(
    (file) => `tests/${file}`,
  );
  return files.filter(
    (file) => file.endsWith('.test.ts') && readFileSync(file, 'utf8').includes('eachDatabase('),
  );
}

export default defineConfig({
  test: {
    maxWorkers: 2,
    reporters: ['default', './tests/setup/say-long.ts'],
    projects: [
      {
        test: {
          ...shared,
          name: 'pure',
          include: PURE,
          exclude: [LONG],
          setupFiles: [silent],
          isolate: false,
        },
      },
      {
        test: {
          ...served,
          name: 'served',
          include: ['tests/**/*.test.ts'],
          exclude: [LONG, ...PURE],
          provide: { databasesTried: 'sqlite' },
          isolate: false,
        },
      },
      {
        test: {
          ...served,
          name: 'postgresql',
          include: forEachDatabase(),
          exclude: [LONG],
          provide: { databasesTried: 'postgresql' },
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
          provide: { databasesTried: 'both' },
        },
      },
    ],
  },
});
