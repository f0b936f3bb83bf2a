import { join } from 'node:path';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';

/** The program on a database, with a tray in this folder. */
export function appOn(url: string, folder: string): Promise<App> {
  const env = { PORT: '0', DATABASE_URL: url, MAIL_TRAY: join(folder, 'tray') };
  return buildApp(readSettings(env), { logger: false });
}

/** What it answers to whoever asks whether it is ready. */
export async function ready({ server }: App) {
  const { statusCode, headers, body } = await server.inject('/readyz');
  return { status: statusCode, type: headers['content-type'], wait: headers['retry-after'], body };
}

/** Asks again until the answer is another: readiness is kept for a second. */
export async function readySoon(app: App, status: number) {
  for (let look = 0; look < 60; look++) {
    const found = await ready(app);
    if (found.status === status) return found;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return ready(app);
}
