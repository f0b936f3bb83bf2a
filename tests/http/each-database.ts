import { afterAll, beforeAll, describe } from 'vitest';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';

/** Runs the same tests on SQLite and on a real PostgreSQL; `open` gives an empty database each. */
export function onEachDatabase(
  name: string,
  tests: (open: (now: string) => Promise<Workshop>) => void,
): void {
  describe(`${name}, on SQLite`, () => {
    tests((now) => openWorkshop(now));
  });
  describe(`${name}, on PostgreSQL`, () => {
    let server: Awaited<ReturnType<typeof startPostgresql>>;
    let n = 0;
    beforeAll(async () => {
      server = await startPostgresql();
    });
    afterAll(() => server.stop());
    tests(async (now) => openWorkshop(now, await server.url(`rules_${(n += 1)}`)));
  });
}
