import { fileURLToPath } from 'node:url';
import { openWorkshop } from '../setup/workshop.ts';

export const OPENAPI_FILE = fileURLToPath(new URL('../../openapi.json', import.meta.url));

/** The API description as the server gives it out, laid out for reading. */
export async function describeApi(): Promise<string> {
  const shop = await openWorkshop('2026-01-01T09:00:00.000Z');
  try {
    const { body } = await shop.get('/openapi.json');
    return `${JSON.stringify(body, null, 2)}\n`;
  } finally {
    await shop.close();
  }
}
