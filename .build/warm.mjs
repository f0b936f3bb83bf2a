// Serves once from an empty database and keeps what the engine compiled on the way to the first answers.
import { once } from 'node:events';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const MOST_MS = 60_000;
const FIRST_PAGES = ['/healthz', '/', '/sign-in', '/style.css'];

const folder = mkdtempSync(join(tmpdir(), 'foldkeep-warm-'));
process.chdir(folder);
Object.assign(process.env, {
  DATABASE_URL: `file:${join(folder, 'warm.db')}`,
  MAIL_TRAY: join(folder, 'tray'),
  HOST: '127.0.0.1',
  PORT: '0',
  ROUND_CRON: 'off',
  DELIVERY_CRON: 'off',
  LOG_LEVEL: 'silent',
});
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
setTimeout(() => process.exit(1), MOST_MS).unref();

const heard = new Promise((resolve) => {
  process.stdout.write = (words) => {
    const [address] = /http:\S+/.exec(String(words)) ?? [];
    if (address !== undefined) resolve(address);
    return true;
  };
});
const dist = new URL('../dist/', import.meta.url);
process.argv = [process.execPath, fileURLToPath(new URL('main.js', dist)), 'serve'];
const { script, begin } = await import(new URL('main.js', dist).href);
const address = await heard;
for (const page of FIRST_PAGES) await (await fetch(address + page)).text();
await warmPostgresql();
const kept = new URL('joined.cache', dist);
writeFileSync(kept, script.createCachedData());
// The server may run as another user than the one who built it.
chmodSync(kept, 0o644);
process.exit(0);

/** The same up to the first word to a PostgreSQL server, where none listens: the program then says so and ends. */
async function warmPostgresql() {
  const nobody = createServer().listen(0, '127.0.0.1');
  await once(nobody, 'listening');
  const { port } = nobody.address();
  nobody.close();
  await once(nobody, 'close');
  process.env.DATABASE_URL = `postgresql://warm@127.0.0.1:${port}/warm`;
  const ended = new Promise((resolve) => {
    process.stderr.write = () => {
      resolve();
      return true;
    };
  });
  begin();
  await ended;
}
