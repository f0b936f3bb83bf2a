import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '../src/store/database/open-store.ts';
import type { Measured } from './measure.ts';
import { best } from './measure.ts';

const RUNS = 5;
const PORT = 9481;
const MAIN = fileURLToPath(new URL('../dist/main.js', import.meta.url));
const ROOT = fileURLToPath(new URL('..', import.meta.url));
const BARE = `import('fastify').then(({ default: fastify }) => { const app = fastify(); app.get('/healthz', async () => ({ status: 'ok' })); return app.listen({ port: ${PORT} }); });`;

/**
 * From the start of the process to the first answer, on a database that is up to date, against a bare
 * Fastify with one route. The program is the built one: run `npm run prepare` first.
 */
export async function run(): Promise<Measured[]> {
  if (!existsSync(MAIN)) throw new Error('dist/ is not built; run: npm run prepare');
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-start-'));
  try {
    return await startOver(`file:${join(folder, 'start.db')}`, folder, '');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The same over any database. */
export async function startOver(url: string, folder: string, where: string): Promise<Measured[]> {
  await (await openStore(url)).close();
  const env = {
    ...process.env,
    DATABASE_URL: url,
    MAIL_TRAY: join(folder, 'tray'),
    PORT: String(PORT),
    ROUND_CRON: 'off',
    DELIVERY_CRON: 'off',
    LOG_LEVEL: 'silent',
  };
  const ours = await best(RUNS, () => firstAnswer([MAIN, 'serve'], env));
  const bare = await best(RUNS, () => firstAnswer(['-e', BARE], process.env));
  const idle = await idleMegabytes([MAIN, 'serve'], env);
  return [
    { name: `cold-start${where}-vs-bare-fastify`, ratio: ours / bare, goal: '<= 2' },
    { name: `idle-memory${where}-vs-200-mb`, ratio: idle / 200, goal: '<= 1' },
  ];
}

async function firstAnswer(args: readonly string[], env: NodeJS.ProcessEnv): Promise<void> {
  const server = spawn(process.execPath, args, { cwd: ROOT, env, stdio: 'ignore' });
  try {
    while (!(await answers())) {
      if (server.exitCode !== null) throw new Error(`the server ended with ${server.exitCode}`);
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
  } finally {
    const ended = new Promise((resolve) => server.once('exit', resolve));
    server.kill('SIGKILL');
    await ended;
  }
}

/** What the process holds in memory once it has answered and settled, as Linux says. */
async function idleMegabytes(args: readonly string[], env: NodeJS.ProcessEnv): Promise<number> {
  const server = spawn(process.execPath, args, { cwd: ROOT, env, stdio: 'ignore' });
  const ended = new Promise((resolve) => server.once('exit', resolve));
  try {
    while (!(await answers())) await new Promise((resolve) => setTimeout(resolve, 50));
    await new Promise((resolve) => setTimeout(resolve, 3_000));
    const status = readFileSync(`/proc/${server.pid}/status`, 'utf8');
    return Number(/VmRSS:\s+(\d+)/.exec(status)?.[1] ?? Number.NaN) / 1024;
  } finally {
    server.kill('SIGKILL');
    await ended;
  }
}

async function answers(): Promise<boolean> {
  try {
    return (await fetch(`http://127.0.0.1:${PORT}/healthz`)).ok;
  } catch {
    return false;
  }
}
