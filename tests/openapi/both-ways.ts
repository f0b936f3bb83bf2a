import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import formats from 'ajv-formats';
import fastify from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { serializerCompiler } from 'fastify-type-provider-zod';
import { beforeAll, describe, expect, test } from 'vitest';
import type { z } from 'zod';
import { apiRoutes } from '../../src/http/api/api.ts';
import { checkShape } from '../../src/http/gate/shape-check.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { OPENAPI_FILE } from './describe-api.ts';
import type { Json } from './generated-bodies.ts';
import { bodiesBy, spoilt } from './generated-bodies.ts';

// What openapi.json says of a body and what the route takes are held against each other: Ajv (JSON Schema
// 2020-12) reads the one, the route's own shape the other, bodies come from json-schema-faker.

interface Description {
  readonly paths: Record<string, Record<string, { requestBody?: { content: Content } }>>;
  readonly components: Record<string, Json>;
}
type Content = Record<string, { schema: { [name: string]: Json } }>;

const document = JSON.parse(readFileSync(OPENAPI_FILE, 'utf8')) as Description;

/** Rules between fields, and those of pictures, which no schema can say; each has a test of its own. */
const BEYOND_A_SCHEMA = new Set(['/letterHours/to', '/logo']);

const ajv = new Ajv2020({ strict: false, allErrors: true });
formats.default(ajv);
ajv.addFormat(
  'time-zone',
  takenBy((timeZone) => new Intl.DateTimeFormat('en', { timeZone })),
);
ajv.addFormat(
  'language-tag',
  takenBy((tag) => Intl.getCanonicalLocales(tag)),
);
ajv.addSchema({ $id: 'api', components: document.components });

const bodies = Object.entries(document.paths).flatMap(([path, methods]) =>
  Object.entries(methods).flatMap(([method, { requestBody }]) => {
    const schema = requestBody?.content['application/json']?.schema;
    return schema === undefined ? [] : [{ route: `${method} ${path}`, schema }];
  }),
);

const shapes = new Map<string, z.ZodType>();
async function readShapes(): Promise<void> {
  const app = fastify().withTypeProvider<ZodTypeProvider>();
  app.setValidatorCompiler(checkShape);
  app.setSerializerCompiler(serializerCompiler);
  app.addHook('onRoute', ({ method, url, schema }) => {
    const path = url.replaceAll(/:(\w+)/g, '{$1}');
    if (schema?.body)
      shapes.set(`${String(method).toLowerCase()} ${path}`, schema.body as z.ZodType);
  });
  await app.register(
    async (scope) => apiRoutes(scope.withTypeProvider<ZodTypeProvider>(), {} as Context),
    { prefix: '/v1' },
  );
  await app.ready();
}

function takenBy(read: (text: string) => unknown): (text: string) => boolean {
  return (text) => {
    try {
      read(text);
      return true;
    } catch {
      return false;
    }
  };
}

const shapeOf = (route: string): z.ZodType => {
  const shape = shapes.get(route);
  if (shape === undefined) throw new Error(`no route takes a body at ${route}`);
  return shape;
};

const describes = (schema: Json) =>
  ajv.compile(JSON.parse(JSON.stringify(schema).replaceAll('"#/', '"api#/')) as object);

const bodyOf = bodiesBy(document.components['schemas'] ?? {});

/** Why a route refuses a body, but for what no schema can say. */
function refusals(shape: z.ZodType, body: Json): string[] {
  const { error } = shape.safeParse(body);
  return (error?.issues ?? [])
    .map(({ path, message }) => `/${path.map(String).join('/')}: ${message}`)
    .filter((text) => !BEYOND_A_SCHEMA.has(text.split(':')[0] ?? ''));
}

function seedsUpTo(many: number): number[] {
  return Array.from({ length: many }, (_, at) => at + 1);
}

/** Tries so many bodies of each route that its description allows, and what three of them are when spoilt. */
export function tryBothWays(many: number): void {
  const seeds = seedsUpTo(many);
  beforeAll(readShapes);

  describe.each(bodies)('$route', ({ route, schema }) => {
    const allowed = describes(schema);

    test('takes what the description allows', async () => {
      for (const seed of seeds) {
        const body = await bodyOf(schema, seed);
        if (!allowed(body)) continue;
        expect([seed, body, refusals(shapeOf(route), body)]).toEqual([seed, body, []]);
      }
    });

    test('refuses what it forbids', async () => {
      let tried = 0;
      const taken: Json[] = [];
      for (const seed of seeds.slice(0, 3)) {
        for (const body of spoilt(await bodyOf(schema, seed))) {
          if (allowed(body)) continue;
          tried++;
          if (shapeOf(route).safeParse(body).success) taken.push(body);
        }
      }
      expect(taken).toEqual([]);
      expect(tried).toBeGreaterThan(9);
    });
  });
}

/** Tries that so many seeds make a body for every route that its description allows. */
export function tryMakers(many: number): void {
  const seeds = seedsUpTo(many);

  test('bodies that the description allows are made for every route', async () => {
    const without: string[] = [];
    for (const { route, schema } of bodies) {
      const made = await Promise.all(seeds.map((seed) => bodyOf(schema, seed)));
      if (!made.some((body) => describes(schema)(body))) without.push(route);
    }
    expect(bodies.length).toBeGreaterThan(25);
    expect(without).toEqual([]);
  });
}
