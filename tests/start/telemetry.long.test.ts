import { once } from 'node:events';
import { createServer } from 'node:http';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, afterEach, expect, it } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { WORK } from '../../src/usecases/context/watch.ts';
import { listen } from '../mail/smtp-stub.ts';
import { ownFolder } from '../records/lived-in.ts';

const folder = ownFolder();
afterAll(() => folder.remove());
afterEach(() => {
  delete process.env['OTEL_EXPORTER_OTLP_ENDPOINT'];
});

it('a collector that is away keeps nobody from ending', async () => {
  const gone = createServer();
  const url = `http://127.0.0.1:${await listen(gone)}`;
  const closed = once(gone, 'close');
  gone.close();
  await closed;
  process.env['OTEL_EXPORTER_OTLP_ENDPOINT'] = url;
  const app = await buildApp(
    readSettings({
      DATABASE_URL: `file:${folder.path('gone.db')}`,
      MAIL_TRAY: folder.path('tray'),
      ERASED_FILE: folder.path('erased'),
      PUBLIC_URL: 'https://care.example.org',
      PORT: '0',
      LOG_LEVEL: 'silent',
      OTEL_EXPORTER_OTLP_ENDPOINT: url,
    }),
  );
  expect(WORK.start.hasSubscribers).toBe(true);
  expect((await app.server.inject('/healthz')).statusCode).toBe(200);
  const ended = await Promise.race([app.close().then(() => 'ended'), sleep(8_000, 'late')]);
  expect(ended).toBe('ended');
  expect(WORK.start.hasSubscribers).toBe(false);
});
