import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { App } from '../../src/app.ts';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { freshSqlite } from '../setup/fresh-sqlite.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'foldkeep-slow-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function open(patience: { head: number; request: number; drain: number }): Promise<App> {
  const settings = readSettings({
    PORT: '0',
    DATABASE_URL: freshSqlite(folder),
    MAIL_TRAY: join(folder, 'tray'),
  });
  return buildApp(settings, { logger: false, patience });
}

/** A client that sends a byte of its request every so often and never comes to the end. */
function trickle(port: number, head: string) {
  const socket = connect(port, '127.0.0.1');
  let heard = '';
  socket.on('data', (bytes) => {
    heard += bytes.toString();
  });
  socket.on('error', () => undefined);
  socket.write(head);
  const drip = setInterval(() => socket.writable && socket.write('x'), 50);
  const closed = new Promise<string>((resolve) => {
    socket.on('close', () => {
      clearInterval(drip);
      resolve(heard);
    });
  });
  return { closed };
}

const BODY =
  'POST /sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 900\r\n\r\n';
const HEAD = 'GET / HTTP/1.1\r\nHost: x\r\nX-Slow: ';

it.each([
  ['a body', BODY],
  ['a head', HEAD],
])('%s that trickles is answered that it took too long', async (_, head) => {
  const app = await open({ head: 400, request: 400, drain: 60_000 });
  const { port } = new URL(await app.listen());
  const heard = await trickle(Number(port), head).closed;
  expect(heard).toMatch(/^HTTP\/1\.1 408 /);
  expect(heard).toContain('application/problem+json');
  await app.close();
});

it('a body that trickles does not hold up the end', async () => {
  const app = await open({ head: 60_000, request: 60_000, drain: 200 });
  const { port } = new URL(await app.listen());
  const arrived = once(app.server.server, 'request');
  const slow = trickle(Number(port), BODY);
  await arrived;
  const order: string[] = [];
  await Promise.all([
    app.close().then(() => order.push('closed')),
    slow.closed.then(() => order.push('let go')),
  ]);
  expect(order.toSorted()).toEqual(['closed', 'let go']);
}, 10_000);
