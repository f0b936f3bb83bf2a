import { readFileSync } from 'node:fs';
import type { Context } from '../../src/usecases/context/context.ts';

const MODELS = new URL('../../prisma/models.prisma', import.meta.url);

/** Every row of every table as JSON lines, each behind the name of its table: to search for a text. */
export async function wholeDatabase(context: Context): Promise<string> {
  const models = readFileSync(MODELS, 'utf8');
  const tables = [...models.matchAll(/@@map\("(\w+)"\)/g)].map(([, table = '']) => table);
  const lines: string[] = [];
  for (const table of tables) {
    const rows = await context.store.sql.all<object>(`SELECT * FROM "${table}"`);
    for (const row of rows) lines.push(`${table} ${JSON.stringify(row)}`);
  }
  return lines.join('\n');
}
