import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { freshSqlite } from '../setup/fresh-sqlite.ts';
import { openWorkshop } from '../setup/workshop.ts';

export const OPENAPI_FILE = fileURLToPath(new URL('../../openapi.json', import.meta.url));

/** The API description as the server gives it out, laid out for reading. */
export async function describeApi(): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-description-'));
  const shop = await openWorkshop('2026-01-01T09:00:00.000Z', freshSqlite(folder));
  try {
    const { body } = await shop.get('/openapi.json');
    return `${JSON.stringify(body, null, 2)}\n`;
  } finally {
    await shop.close();
    rmSync(folder, { recursive: true });
  }
}
