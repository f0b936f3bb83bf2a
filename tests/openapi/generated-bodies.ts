import type { JsonSchema } from 'json-schema-faker';
import { generate, registerFormat } from 'json-schema-faker';

export type Json = null | boolean | number | string | Json[] | { [name: string]: Json };

registerFormat('time-zone', () => 'Europe/Paris');
registerFormat('language-tag', () => 'de-AT');

// The generator takes keywords that it does not know for fields.
const plain = (schema: Json) =>
  JSON.parse(
    JSON.stringify(schema, (name, value: Json) =>
      name === 'example' ? undefined : value,
    ).replaceAll('#/components/schemas/', '#/$defs/'),
  ) as Record<string, JsonSchema>;

/** Makes values that a schema of a description allows, each by its seed. */
export function bodiesBy(
  schemas: Json,
): (schema: Json, seed: number, optionalsProbability?: number) => Promise<Json> {
  const $defs = plain(schemas);
  return async (schema, seed, optionalsProbability = 0.6) =>
    (await generate(
      { ...plain(schema), $defs },
      { seed, optionalsProbability, maxItems: 3 },
    )) as Json;
}

const LENGTHS = [1, 3, 21, 36, 61, 101, 201, 501, 5_000];

/** What hardly any place takes. */
export const ODD: readonly Json[] = [
  null,
  true,
  -1e9,
  1e12,
  0.123456,
  '',
  ...LENGTHS.map((length) => 'x'.repeat(length)),
  [],
  {},
  [[]],
];

/** A body with one thing changed at a time, everywhere in it. */
export function* spoilt(body: Json): Generator<Json> {
  yield* ODD;
  if (Array.isArray(body)) {
    for (const [at, one] of body.entries())
      for (const other of spoilt(one)) yield body.with(at, other);
    if (body[0] !== undefined) yield Array.from({ length: 600 }, () => body[0] as Json);
  } else if (typeof body === 'object' && body !== null) {
    for (const [name, one] of Object.entries(body)) {
      const { [name]: _left, ...rest } = body;
      yield rest;
      for (const other of spoilt(one)) yield { ...body, [name]: other };
    }
    yield { ...body, nobodyReadsThis: 1 };
  }
}
