import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest';
import type { Answer, CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import { OPENAPI_FILE } from './describe-api.ts';

interface Schema {
  readonly type?: string;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly anyOf?: readonly Schema[];
  readonly $ref?: string;
}
interface Parameter {
  readonly in: string;
  readonly name: string;
  readonly required: boolean;
  readonly schema: Schema;
}
interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly Parameter[];
  readonly requestBody?: { readonly content: Record<string, { readonly schema: Schema }> };
  readonly responses: Record<string, { description: string; content?: Record<string, unknown> }>;
}

const document = JSON.parse(readFileSync(OPENAPI_FILE, 'utf8')) as {
  paths: Record<string, Record<string, Operation>>;
  components: { schemas: Record<string, Schema> };
};
const operations = Object.entries(document.paths).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, operation]) => ({ method, path, operation })),
);

let shop: Workshop;
let ids: CarAndTop;
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ids = await fitted(shop);
});
afterAll(() => shop.close());

const addressOf = (path: string) =>
  path
    .replace('/cars/{id}', `/cars/${ids.carId}`)
    .replace('/tops/{id}', `/tops/${ids.topId}`)
    .replace('/owners/{id}', `/owners/${ids.ownerId}`)
    .replace('{part}', 'oil')
    .replace('{kind}/{language}/{slot}', 'care-note/en/lead')
    .replaceAll(/\{\w+\}/g, 'unknown');

const ask = (method: string, path: string, body?: unknown, headers: Record<string, string> = {}) =>
  shop.call(method.toUpperCase(), addressOf(path), body, { 'if-match': '*', ...headers });

function expectProblem(answer: Answer, status: number): void {
  expect(answer.status).toBe(status);
  expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/);
  expect(answer.body).toMatchObject({
    status,
    title: expect.any(String),
    detail: expect.any(String),
  });
}

describe('the description', () => {
  it('names every operation by a name of its own', () => {
    const names = operations.map(({ operation }) => operation.operationId);
    expect(names.length).toBeGreaterThan(60);
    expect(new Set(names).size).toBe(names.length);
  });

  it.each(operations)(
    '$method $path: says every refusal as a problem document',
    ({ operation }) => {
      const statuses = Object.keys(operation.responses);
      const always = ['400', '401', '403', '404', '414', '429', '500', '503'];
      expect(statuses).toEqual(expect.arrayContaining(always));
      expect(statuses).toEqual(
        expect.arrayContaining(operation.requestBody ? ['413', '415'] : always),
      );
      for (const { description } of Object.values(operation.responses)) {
        expect(description).not.toBe('Default Response');
      }
      const kinds = Object.entries(operation.responses)
        .filter(([status]) => status >= '400')
        .flatMap(([, { content }]) => Object.keys(content ?? {}));
      expect(new Set(kinds)).toEqual(new Set(['application/problem+json']));
    },
  );

  it('says which headers a deed takes', () => {
    for (const { method, operation } of operations) {
      const headers = (operation.parameters ?? []).filter((one) => one.in === 'header');
      const named = headers.map(({ name, required }) => `${name} ${required}`);
      expect(named.includes('If-Match true')).toBe('428' in operation.responses);
      expect(named.includes('Idempotency-Key false')).toBe(method === 'post');
    }
  });

  it('holds no list that closes itself, which few readers know', () => {
    expect(JSON.stringify(document)).not.toMatch(/"items":false|prefixItems/);
  });
});

describe('what it forbids is refused', () => {
  test.each(operations)(
    '$method $path: a name that no query has',
    async ({ method, path, operation }) => {
      const body = operation.requestBody === undefined ? undefined : {};
      const url = `${path}?nobodyReadsThis=1`;
      const isMail = path.endsWith('/bounces');
      const headers = isMail ? { 'content-type': 'message/rfc822' } : undefined;
      expectProblem(await ask(method, url, isMail ? 'report' : body, headers), 400);
    },
  );

  const counted = operations.flatMap(({ method, path, operation }) =>
    (operation.parameters ?? [])
      .filter(
        ({ in: where, schema }) =>
          where === 'query' && ['integer', 'number'].includes(schema.type ?? ''),
      )
      .map(({ name, schema }) => {
        const body = operation.requestBody === undefined ? undefined : {};
        return { method, path, name, schema, body };
      }),
  );
  test.each(counted)(
    '$method $path: $name is a number in digits and in bounds',
    async ({ method, path, name, schema, body: sent }) => {
      const told = async (value: string) => {
        const { status, body } = await ask(method, `${path}?${name}=${value}`, sent);
        return status === 400 && JSON.stringify(body.errors).includes(`"${name}"`);
      };
      for (const odd of ['0x10', '1e1', '%205', '', 'ten'])
        expect([odd, await told(odd)]).toEqual([odd, true]);
      const { minimum = -Infinity, maximum = Infinity } = schema;
      const bounds = [minimum, maximum].filter(Number.isFinite);
      for (const bound of bounds) expect([bound, await told(`${bound}`)]).toEqual([bound, false]);
      const beyond = [minimum - 1, maximum + 1].filter(Number.isFinite);
      for (const value of beyond) expect([value, await told(`${value}`)]).toEqual([value, true]);
    },
  );
  it('has numbers to look at', () => expect(counted.length).toBeGreaterThan(5));

  const bodies = operations.flatMap(({ method, path, operation }) => {
    const schema = operation.requestBody?.content['application/json']?.schema;
    const object = schema === undefined ? undefined : objectIn(schema);
    return object?.properties === undefined
      ? []
      : [{ method, path, properties: object.properties }];
  });
  test.each(bodies)(
    '$method $path: fields of another kind, and fields that are none',
    async ({ method, path, properties }) => {
      expectProblem(await ask(method, path, { nobodyReadsThis: 1 }), 400);
      for (const [name, schema] of Object.entries(properties)) {
        const kind = resolved(schema).type;
        if (kind === undefined) continue;
        const answer = await ask(method, path, {
          [name]: kind === 'object' ? 'text' : { odd: true },
        });
        expectProblem(answer, 400);
        expect(JSON.stringify(answer.body.errors)).toContain(`/${name}`);
      }
    },
  );
  it('has bodies to look at', () => expect(bodies.length).toBeGreaterThan(25));
});

describe('what is asked where nothing is', () => {
  test('a method that an address does not know: 405, and which it knows', async () => {
    const answer = await shop.call('DELETE', `/v1/cars/${ids.carId}/position`);
    expectProblem(answer, 405);
    expect(answer.headers['allow']).toBe('GET, HEAD, POST');
    expect((await shop.call('PUT', '/v1/owners')).headers['allow']).toBe('GET, HEAD, POST');
  });

  test('an address that nothing has: 404', async () => {
    expectProblem(await shop.call('GET', '/v1/nothing-like-it'), 404);
    expectProblem(await shop.call('POST', '/nothing'), 404);
  });

  test('a part of an address that is too long: 414', async () => {
    expectProblem(await shop.get(`/v1/cars/${'a'.repeat(300)}`), 414);
  });

  test('a hole that no gauge measures', async () => {
    const hole = (diametersMm: number[]) =>
      shop.post('/v1/hardware/hole', { thread: 'M8', diametersMm });
    expectProblem(await hole([8.2, 0]), 400);
    expectProblem(await hole([8.2, 101]), 400);
    expectProblem(await hole([8.2]), 400);
    expect((await hole([8.2, 8.3])).status).toBe(200);
  });
});

function resolved(schema: Schema): Schema {
  const name = schema.$ref?.split('/').at(-1);
  return name === undefined ? schema : (document.components.schemas[name] ?? {});
}

function objectIn(schema: Schema): Schema | undefined {
  const whole = resolved(schema);
  return whole.type === 'object'
    ? whole
    : whole.anyOf?.map((one) => resolved(one)).find(({ type }) => type === 'object');
}
