import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { openStore } from '../../src/store/database/open-store.ts';
import { roomyFolder } from './roomy-folder.ts';

/** Databases that are up to date and empty, for every test to take a copy of. */
export interface DatabaseTemplates {
  readonly sqliteFile: string;
  /** The address of the template's server, the name of the database last. */
  readonly postgresqlUrl: string;
  /** Where the copies and all other temporary files of the run go. */
  readonly folder: string;
}

declare module 'vitest' {
  interface ProvidedContext {
    databaseTemplates: DatabaseTemplates;
  }
}

/** One PostgreSQL server and one migration of each kind of database for a whole run. */
export default async function makeTemplates(project: TestProject): Promise<() => Promise<void>> {
  const folder = mkdtempSync(join(roomyFolder(), 'foldkeep-suite-'));
  const sqliteFile = join(folder, 'template.db');
  const server = await startPostgresql(folder);
  const postgresqlUrl = await server.url('template_records');
  for (const url of [`file:${sqliteFile}`, postgresqlUrl]) await (await openStore(url)).close();
  project.provide('databaseTemplates', { sqliteFile, postgresqlUrl, folder });
  return async () => {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  };
}
