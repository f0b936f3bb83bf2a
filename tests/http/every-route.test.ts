import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';
const DESCRIPTION = new URL('../../openapi.json', import.meta.url);

interface Route {
  readonly path: string;
  readonly method: string;
  readonly query: readonly string[];
}

/** Every route of the API as it describes itself. */
function routes(): Route[] {
  const { paths } = JSON.parse(readFileSync(DESCRIPTION, 'utf8')) as {
    paths: Record<string, Record<string, { parameters?: { name: string; in: string }[] }>>;
  };
  return Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, { parameters = [] }]) => ({
      path,
      method: method.toUpperCase(),
      query: parameters.filter((one) => one.in === 'query').map(({ name }) => name),
    })),
  );
}

const cursor = (...parts: string[]) => Buffer.from(JSON.stringify(parts)).toString('base64url');
const ODD_TEXTS = ['\0', 'a\0b', '%', '💥', 'x'.repeat(150), `' OR ''='`];
const ODD_VALUES = ODD_TEXTS.concat(
  ['', '0', '-1', '1e9', 'NaN', '99999999999999999999', '0001-01-01', '9999-12-31'],
  ['1900-01-01', '2200-12-31', '9999-12-31T23:59:59Z', '1900-01-01T00:00:00Z'],
  [cursor('\0'), cursor('\0', 'x'), cursor('x'), cursor('x', 'y'), cursor('x', 'y', 'z')],
);

const ANY = { 'if-match': '*' };

/** Bodies that would be taken of records of one's own, by the end of the path. */
const BODIES: readonly [RegExp, object][] = [
  [/\/fate$/, { fate: 'arrived' }],
  [/\/visits$/, { kind: 'look', doneOn: '2026-06-11' }],
  [/\/booking$/, { on: '2026-06-18' }],
  [/\/position$/, { position: 'raised', at: '2026-06-11T09:00:00Z' }],
  [/\/links$/, { purpose: 'owner-page' }],
  [/\/clear$/, { words: 'wrote back' }],
  [/\/preferences$/, { refused: [], words: 'at the counter' }],
  [/\/findings\//, { outcome: 'done' }],
  [/\/visits\/[^/]+\/work$/, { kind: 'look', doneOn: '2026-06-10' }],
  [
    /\/work$/,
    { seen: ['pin-or-bolt-broken'], work: [{ fault: 'pivot-sheared', pivots: ['L-MAIN'] }] },
  ],
];

eachDatabase('every route', ({ open }) => {
  let shop: Workshop;
  let ids: Record<string, string>;
  beforeAll(async () => {
    shop = await open(NOW);
    const { ownerId, carId, topId } = await fitted(shop, { top: { fittedOn: '2025-05-10' } });
    const at = '2026-06-08T09:00:00Z';
    const entry = await shop.post(`/v1/cars/${carId}/position`, { position: 'folded', at });
    const findings = [{ text: 'hem torn', outcome: 'declined' }];
    const visit = await shop.post(`/v1/tops/${topId}/visits`, {
      kind: 'look',
      doneOn: '2026-06-10',
      findings,
    });
    await shop.post(`/v1/tops/${topId}/booking`, { on: '2026-06-16', kind: 'repair' });
    await shop.post('/v1/diary/plan', { apply: true });
    await shop.post('/v1/calls', { carId, outcome: 'message-left' });
    await shop.post('/v1/round', {});
    const letters = await shop.get('/v1/letters');
    ids = {
      '/owners/': ownerId,
      '/cars/': carId,
      '/tops/': topId,
      '/visits/': visit.body.id,
      '/letters/': letters.body.items[0].id,
      entryId: entry.body.id,
      findingId: visit.body.findings[0].id,
    };
  });
  afterAll(() => shop.close());

  const filled = (path: string, of: (name: string, before: string) => string) =>
    path.replace(/(\/\w+\/)?\{(\w+)\}/g, (_, before = '', name) => before + of(name, before));
  const real = (path: string) => filled(path, (name, before) => ids[name] ?? ids[before] ?? 'en');
  const ask = (method: string, path: string) =>
    shop.call(method, path, method === 'GET' ? undefined : bodyFor(path), ANY);
  const bodyFor = (path: string) => BODIES.find(([end]) => end.test(path))?.[1] ?? {};

  it('answers odd names and values with a refusal, never with a fault of its own', async () => {
    const faults: string[] = [];
    for (const { method, path, query } of routes()) {
      if (path.includes('{')) {
        for (const text of ODD_TEXTS) {
          const odd = filled(path, () => encodeURIComponent(text));
          const { status } = await ask(method, odd);
          if (status >= 500) faults.push(`${status} ${method} ${odd}`);
        }
      }
      for (const name of query) {
        for (const value of ODD_VALUES) {
          const odd = `${real(path)}?${name}=${encodeURIComponent(value)}`;
          const { status } = await ask(method, odd);
          if (status >= 500) faults.push(`${status} ${method} ${odd}`);
        }
      }
    }
    expect(faults).toEqual([]);
  });

  it('shows and changes nothing for another organisation', async () => {
    const own = shop.key;
    const before = await Promise.all(
      Object.entries(ids)
        .filter(([name]) => name.startsWith('/'))
        .map(([name, id]) => shop.get(`/v1${name}${id}`)),
    );
    shop.key = await shop.keyFor('A Stranger');
    const seen: string[] = [];
    for (const { method, path, query } of routes()) {
      const named = /\{(id|visitId)\}/.test(path);
      const filters = query.filter((name) => name === 'carId' || name === 'ownerId');
      const asked = [
        real(path),
        ...filters.map((name) => `${real(path)}?${name}=${ids[`/${name.slice(0, -2)}s/`]}`),
      ];
      for (const one of asked) {
        const { status, body } = await ask(method, one);
        const text = JSON.stringify(body ?? null);
        const leaks = Object.values(ids).some((id) => text.includes(id)) || /Quill|FK 1/.test(text);
        if (leaks || (named && status !== 404)) {
          seen.push(`${status} ${method} ${one}`);
        }
      }
    }
    const car = {
      ownerId: ids['/owners/'],
      registration: 'FK 8',
      handbook: {},
      keeping: { place: 'street', salt: 'none', use: 'daily' },
    };
    const top = {
      carId: ids['/cars/'],
      fittedOn: '2026-06-11',
      framePattern: 'four-seat-manual',
      cover: { material: 'cloth' },
      window: 'glass',
    };
    const mine = await fitted(shop);
    const taking = [
      await shop.post('/v1/cars', car),
      await shop.call('PATCH', `/v1/cars/${mine.carId}`, { ownerId: ids['/owners/'] }, ANY),
      await shop.post('/v1/tops', top),
      await shop.post('/v1/calls', { carId: ids['/cars/'], outcome: 'reached' }),
    ];
    expect(taking.map(({ status }) => status)).toEqual([400, 400, 400, 400]);
    shop.key = own;
    expect(seen).toEqual([]);
    for (const { status, body } of before) {
      expect(status).toBe(200);
      expect(body.id).toBeDefined();
    }
    const after = await Promise.all(
      Object.entries(ids)
        .filter(([name]) => name.startsWith('/'))
        .map(([name, id]) => shop.get(`/v1${name}${id}`)),
    );
    expect(after.map(({ body }) => body)).toEqual(before.map(({ body }) => body));
  });
});
