import { copyFileSync } from 'node:fs';
import { join } from 'node:path';

let template: string | null = null;

/** From now on new files are copies of this one, instead of being migrated each by itself. */
export function copyFrom(sqliteFile: string): void {
  template = sqliteFile;
}

/** The address of a new SQLite file in this folder, up to date once it has been opened. */
export function freshSqlite(folder: string, name = 'records.db'): string {
  const file = join(folder, name);
  if (template !== null) copyFileSync(template, file);
  return `file:${file}`;
}
