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
          isolate: false,
        },
      },
      { test: { ...served, name: 'long', include: [LONG] } },
    ],
  },
});
