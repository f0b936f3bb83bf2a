import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { templates } from './templates-in-use.ts';

/** The address of a new SQLite file in this folder, up to date once it has been opened. */
export function freshSqlite(folder: string, name = 'records.db'): string {
  const file = join(folder, name);
  const template = templates()?.sqliteFile;
  if (template !== undefined) copyFileSync(template, file);
  return `file:${file}`;
}
