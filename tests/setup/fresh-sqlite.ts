import { copyFileSync, existsSync, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { sqliteFileOf } from '../../src/store/database/sqlite-store.ts';
import { templates } from './templates-in-use.ts';

/** The address of a new SQLite file in this folder, up to date once it has been opened. */
export function freshSqlite(folder: string, name = 'records.db'): string {
  const file = join(folder, name);
  const template = templates()?.sqliteFile;
  if (template !== undefined) copyFileSync(template, file);
  return `file:${file}`;
}

/** The address as it is, with such a file behind it where there was none: migrating each anew takes longest. */
export function begun(url: string): string {
  const template = templates()?.sqliteFile;
  if (template === undefined || !url.startsWith('file:') || url === 'file::memory:') return url;
  const file = sqliteFileOf(url);
  if (existsSync(file)) return url;
  mkdirSync(dirname(file), { recursive: true });
  copyFileSync(template, file);
  return url;
}
