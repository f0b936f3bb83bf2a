import { once } from 'node:events';
import { createServer } from 'node:http';
import { describe, expect, it } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { readSettings, SettingsRefused } from '../../src/config.ts';
import { statementOf } from '../../src/store/watch/statements.ts';
import { WORK } from '../../src/usecases/context/watch.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { startSink } from '../delivery/sink.ts';
import { listen } from '../mail/smtp-stub.ts';
import { ownFolder } from '../records/lived-in.ts';
import { eachDatabase } from '../setup/databases.ts';
import { fitted } from '../setup/workshop.ts';

interface Attribute {
  readonly key: string;
  readonly value: { readonly stringValue?: string; readonly intValue?: number };
}
interface Span {
  readonly name: string;
  readonly spanId: string;
  readonly parentSpanId?: string;
  readonly attributes: readonly Attribute[];
  readonly status: { readonly code?: number };
}

/** A collector on loopback that keeps all it is sent (OTLP over HTTP, JSON). */
async function startCollector(status = 200) {
  const bodies: { path: string; text: string }[] = [];
  const server = createServer((request, response) => {
    let text = '';
    request.on('data', (more) => (text += String(more)));
    request.on('end', () => {
      bodies.push({ path: request.url ?? '', text });
      response.writeHead(status, { 'content-type': 'application/json' }).end('{}');
    });
  });
  const port = await listen(server);
  return {
    url: `http://127.0.0.1:${port}`,
    bodies,
    spans(): Span[] {
      return bodies
        .filter(({ path }) => path === '/v1/traces')
        .flatMap(({ text }) => JSON.parse(text).resourceSpans)
        .flatMap(({ scopeSpans }) => scopeSpans)
        .flatMap(({ spans }) => spans as Span[]);
    },
    metrics(): string[] {
      return bodies
        .filter(({ path }) => path === '/v1/metrics')
        .flatMap(({ text }) => JSON.parse(text).resourceMetrics)
        .flatMap(({ scopeMetrics }) => scopeMetrics)
        .flatMap(({ metrics }) => metrics.map(({ name }: { name: string }) => name));
    },
    async close() {
      server.closeAllConnections();
      const closed = once(server, 'close');
      server.close();
      await closed;
    },
  };
}

const OWNER = {
  name: 'Wilhelmina Quillfeather',
  email: 'wilhelmina.q@example.org',
  phone: '01632 960999',
};
const folder = ownFolder();
const NOW = '2026-06-12T09:00:00.000Z';

const settingsOf = (databaseUrl: string, more: Record<string, string>) =>
  readSettings({
    DATABASE_URL: databaseUrl,
    MAIL_TRAY: folder.path('tray'),
    ERASED_FILE: folder.path('erased'),
    PUBLIC_URL: 'https://care.example.org',
    PORT: '0',
    LOG_LEVEL: 'silent',
    ...more,
  });

eachDatabase('the telemetry', ({ dialect, fresh }) => {
  it('tells a collector what was done and how much, and nothing of anybody', async () => {
    const collector = await startCollector();
    const sink = await startSink();
    const settings = settingsOf(await fresh(), {
      OTEL_EXPORTER_OTLP_ENDPOINT: collector.url,
      SMTP_URL: sink.url,
    });
    const told = { traces: process.env['OTEL_EXPORTER_OTLP_ENDPOINT'] };
    process.env['OTEL_EXPORTER_OTLP_ENDPOINT'] = collector.url;
    try {
      const app = await buildApp(settings, { now: () => NOW });
      const { key } = await makeKey(app.context, { name: 'Elmyard Soft Tops' }, 'full');
      const call = async (method: string, url: string, payload?: object) => {
        const authorization = `Bearer ${key}`;
        const headers = { authorization, 'if-match': '*' };
        const answer = await app.server.inject({
          method: method as 'GET',
          url,
          headers,
          ...(payload === undefined ? {} : { payload }),
        });
        return { status: answer.statusCode, body: answer.json(), headers: answer.headers };
      };
      const { carId, ownerId } = await fitted(
        { post: (path, body) => call('POST', path, body ?? {}) },
        {
          owner: OWNER,
          car: {
            registration: 'QX 77 SECRET',
            keeping: { place: 'street', salt: 'by-sea', use: 'daily' },
          },
          top: { fittedOn: '2025-05-10' },
        },
      );
      await call('POST', `/v1/cars/${carId}/position`, {
        position: 'folded',
        at: '2026-06-01T08:00:00Z',
      });
      await call('GET', `/v1/cars?search=SECRET`);
      const link = await call('POST', `/v1/owners/${ownerId}/links`, { purpose: 'owner-page' });
      const path = new URL(String(link.body.url)).pathname;
      expect((await app.server.inject(path)).statusCode).toBe(200);
      await app.server.inject(`/nothing-like-it/${path.split('/').at(-1)}`);
      await planRound(app.context);
      await app.deliver();
      await app.close();

      const spans = collector.spans();
      const named = (name: string) => spans.filter((span) => span.name === name);
      const [request] = named('POST /v1/cars/:id/position');
      expect(request?.attributes).toEqual(
        expect.arrayContaining([
          { key: 'http.route', value: { stringValue: '/v1/cars/:id/position' } },
          { key: 'http.response.status_code', value: { intValue: 201 } },
        ]),
      );
      const inside = spans.filter(({ parentSpanId }) => parentSpanId === request?.spanId);
      expect(inside.map(({ name }) => name)).toContain('INSERT position_entry');
      expect(named('round')).toHaveLength(1);
      expect(named('delivery')).toHaveLength(1);
      expect(named('delivery batch').length).toBeGreaterThan(0);
      const texts = spans.flatMap(({ attributes }) =>
        attributes.flatMap(({ key: name, value }) =>
          name === 'db.query.text' ? [value.stringValue] : [],
        ),
      );
      expect(texts).toContainEqual(expect.stringMatching(/^UPDATE "letter" SET .*\?/s));
      expect(new Set(spans.flatMap(systemsOf))).toEqual(new Set([dialect]));
      expect(collector.metrics()).toEqual(
        expect.arrayContaining(['http.server.request.duration', 'foldkeep.letters']),
      );

      expect(sink.taken()).toBeGreaterThan(0);
      const all = collector.bodies.map(({ text }) => text).join('\n');
      expect(all.length).toBeGreaterThan(5_000);
      const secret = [
        ...Object.values(OWNER),
        'Quillfeather',
        'SECRET',
        'QX 77',
        'example.org',
        key,
        key.slice(3),
        path.split('/').at(-1) ?? '',
        carId,
        ownerId,
        '2026-06-01T08:00:00',
        '"street"',
        "'street'",
        'by-sea',
        'folded-over',
        'Elmyard',
      ];
      expect(secret.filter((word) => word.length < 3 || all.includes(word))).toEqual([]);
    } finally {
      if (told.traces === undefined) delete process.env['OTEL_EXPORTER_OTLP_ENDPOINT'];
      else process.env['OTEL_EXPORTER_OTLP_ENDPOINT'] = told.traces;
      await sink.close();
      await collector.close();
    }
  });
});

const systemsOf = ({ attributes }: Span): string[] =>
  attributes.flatMap(({ key, value }) =>
    key === 'db.system.name' ? [value.stringValue ?? ''] : [],
  );

describe('without a collector', () => {
  // One that is away is `telemetry.long.test.ts`.
  it('nobody listens', async () => {
    const plain = await buildApp(settingsOf(`file:${folder.path('plain.db')}`, {}));
    expect(WORK.start.hasSubscribers).toBe(false);
    await plain.close();
  });

  it('is what the settings say', () => {
    const { telemetry } = settingsOf('file:x.db', {});
    expect(telemetry).toBeNull();
    const off = { OTEL_EXPORTER_OTLP_ENDPOINT: 'http://127.0.0.1:4318', OTEL_SDK_DISABLED: 'true' };
    expect(settingsOf('file:x.db', off).telemetry).toBeNull();
    expect(
      settingsOf('file:x.db', {
        OTEL_EXPORTER_OTLP_TRACES_ENDPOINT: 'http://127.0.0.1:4318/v1/traces',
      }).telemetry,
    ).toMatchObject({ traces: true, metrics: false, serviceName: 'foldkeep' });
    expect(() => settingsOf('file:x.db', { OTEL_EXPORTER_OTLP_ENDPOINT: 'collector' })).toThrow(
      SettingsRefused,
    );
  });
});

describe('a statement as it is told', () => {
  const told = (text: string) => statementOf('sqlite', text);
  it('has its verb and table, lists of values as one, and no value that stands in it', () => {
    expect(
      told(`SELECT "id" FROM "car" WHERE "id" IN (?, ?, ?) AND "place" = 'street'`),
    ).toMatchObject({
      name: 'SELECT car',
      facts: { 'db.query.text': 'SELECT "id" FROM "car" WHERE "id" IN (?) AND "place" = ?' },
    });
    expect(told(`INSERT INTO "owner" VALUES ('O''Hara', ?), (?, ?)`).facts['db.query.text']).toBe(
      'INSERT INTO "owner" VALUES (?)',
    );
    expect(
      told('WITH "due" AS (SELECT "id" FROM "car" WHERE (1 = 1)) UPDATE "letter" SET "state" = ?')
        .name,
    ).toBe('UPDATE letter');
    expect(told('SELECT `main`.`owner`.`id` FROM `main`.`owner` WHERE 1=1').name).toBe(
      'SELECT owner',
    );
    expect(String(told(`SELECT ${'"a", '.repeat(900)}1`).facts['db.query.text'])).toHaveLength(
      1_000,
    );
  });
});
