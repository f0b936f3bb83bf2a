import type { jsonSchemaTransformObject } from 'fastify-type-provider-zod';

export type Described = ReturnType<typeof jsonSchemaTransformObject>;

type Json = Record<string, unknown>;
interface Operation extends Json {
  parameters?: Json[];
  requestBody?: Json;
  responses: Record<string, { description?: string; content?: Record<string, unknown> }>;
}

const METHODS = ['get', 'put', 'post', 'delete', 'patch'];
const PROBLEM = { 'application/json': 'application/problem+json' } as const;

/**
 * The description of the API with what its routes' shapes cannot say: names of operations, the headers
 * that deeds take, every refusal that may come, each a problem document (RFC 9457).
 */
export function describedWhole(document: Described): Described {
  const whole = structuredClone(document) as unknown as Json & { paths?: Record<string, Json> };
  for (const [path, operations] of Object.entries(whole.paths ?? {})) {
    for (const method of METHODS.filter((name) => name in operations)) {
      const operation = operations[method] as Operation;
      operation['operationId'] = nameOf(method, path);
      operation['description'] = wordsFor(method, operation);
      addHeaders(method, operation);
      addRefusals(method, operation);
    }
  }
  const tags = new Set<string>();
  JSON.stringify(whole.paths, (key, value: unknown) => {
    if (key === 'tags' && Array.isArray(value)) for (const tag of value) tags.add(String(tag));
    return value;
  });
  const named = [...tags].sort().map((name) => ({ name, description: `About ${name}.` }));
  const described = { ...whole, tags: named, servers: [{ url: '/', description: 'This server' }] };
  return withoutUnused(withPlainLists(described) as Described);
}

/** What it does, and how it is asked. */
function wordsFor(method: string, { summary, parameters = [], responses }: Operation): string {
  const has = (name: string) => parameters.some((one) => one['name'] === name);
  return [
    `${String(summary)}.`,
    ...('428' in responses ? ['A change: say with If-Match which version it is based on.'] : []),
    ...(method === 'post'
      ? ['Done once under its Idempotency-Key, however often it is sent.']
      : []),
    ...(has('after') ? ['Comes in pages: hand `next` in as `after` until it is null.'] : []),
  ].join(' ');
}

/** `getTopsByIdPivots` for GET /v1/tops/{id}/pivots. */
function nameOf(method: string, path: string): string {
  const words = path.replace(/^\/v1/, '').split(/[/.-]/);
  const named = words.map((word) => (word.startsWith('{') ? `by-${word.slice(1, -1)}` : word));
  const parts = named.flatMap((word) => word.split('-')).filter((word) => word !== '');
  return method + parts.map((word) => word[0]?.toUpperCase() + word.slice(1)).join('');
}

function addHeaders(method: string, operation: Operation): void {
  const header = (name: string, required: boolean, pattern: string, description: string) => {
    const schema = { type: 'string', pattern };
    (operation.parameters ??= []).push({ in: 'header', name, required, description, schema });
  };
  if ('428' in operation.responses) {
    header(
      'If-Match',
      true,
      String.raw`^(\*|"v\d{1,9}")$`,
      'The version that the change is based on, as the ETag named it; * for any.',
    );
  }
  if (method === 'post') {
    header(
      'Idempotency-Key',
      false,
      '^"[ -~]+"$',
      'A quoted name for this request: sent again under it within 24 h, it is done once.',
    );
  }
}

const WORDS: Readonly<Record<string, string>> = {
  400: 'A field, a name or a value is not as it must be.',
  401: 'The key is missing or not known.',
  403: 'The key may not do that.',
  404: 'There is no such record.',
  409: 'Something stands in the way.',
  412: 'The record was changed meanwhile.',
  413: 'The body is larger than 256 KB.',
  414: 'A part of the address is too long.',
  415: 'The body is sent as something that is not taken here.',
  422: 'The Idempotency-Key was used for another request.',
  428: 'If-Match is missing.',
  429: 'Too many requests.',
  500: 'A fault of the server.',
  503: 'The records cannot be reached just now; Retry-After says when to ask again.',
};

function addRefusals(method: string, operation: Operation): void {
  const body = ['post', 'put', 'patch', 'delete'].includes(method) ? ['413', '415'] : [];
  for (const status of ['414', '500', '503', ...body]) operation.responses[status] ??= {};
  for (const [status, answer] of Object.entries(operation.responses)) {
    if (status < '400') {
      if (answer.description === 'Default Response') answer.description = 'Done.';
      continue;
    }
    answer.description = WORDS[status] ?? 'Refused.';
    answer.content = {
      [PROBLEM['application/json']]: { schema: { $ref: '#/components/schemas/Problem' } },
    };
  }
}

/** Lists of a fixed length of one kind are said in words that every reader of descriptions knows. */
function withPlainLists(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withPlainLists);
  if (typeof value !== 'object' || value === null) return value;
  const own = Object.fromEntries(
    Object.entries(value).map(([key, inner]) => [key, withPlainLists(inner)]),
  );
  const { prefixItems } = own;
  if (!Array.isArray(prefixItems)) return own;
  const alike = new Set(prefixItems.map((item) => JSON.stringify(item))).size === 1;
  if (!alike) return own;
  const { prefixItems: _items, items: _rest, ...more } = own;
  const { length } = prefixItems;
  return { ...more, items: prefixItems[0] as unknown, minItems: length, maxItems: length };
}

/** Every named shape is described once for input and once for output; what no route uses is left out. */
function withoutUnused(document: Described): Described {
  if (!('components' in document) || document.components?.schemas === undefined) return document;
  let schemas = document.components.schemas as Record<string, object>;
  for (;;) {
    const used = JSON.stringify({ ...document, components: { schemas } });
    const kept = Object.entries(schemas).filter(([name]) =>
      used.includes(`"#/components/schemas/${name}"`),
    );
    if (kept.length === Object.keys(schemas).length) break;
    schemas = Object.fromEntries(kept);
  }
  return { ...document, components: { ...document.components, schemas } } as Described;
}
