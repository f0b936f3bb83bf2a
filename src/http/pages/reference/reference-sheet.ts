import type { ApiContent, ApiDocument, ApiOperation, ApiSchema } from './api-document.ts';
import { shapeName } from './api-document.ts';
import { exampleOf, fieldOf, fieldsOf, type FieldModel } from './api-fields.ts';
import type { Frame } from '../frame/frame.ts';

interface Answer {
  readonly status: string;
  readonly words: string;
  readonly shape: string | null;
  readonly fields: readonly FieldModel[];
}

interface Operation {
  readonly id: string;
  readonly method: string;
  readonly path: string;
  readonly summary: string;
  readonly about: string;
  readonly parameters: readonly FieldModel[];
  readonly body: readonly FieldModel[] | null;
  readonly example: string | null;
  readonly notes: readonly string[];
  readonly answers: readonly Answer[];
  readonly refusals: string;
}

export interface ReferenceModel {
  readonly version: string;
  readonly base: string;
  readonly groups: readonly {
    readonly name: string;
    readonly id: string;
    readonly operations: readonly Operation[];
  }[];
  readonly shapes: readonly {
    readonly name: string;
    readonly about: string;
    readonly fields: readonly FieldModel[];
  }[];
}

/** The API for people to read, written from its description for machines. */
export function referenceSheet(document: ApiDocument, base: string): [Frame, ReferenceModel] {
  const groups = new Map<string, Operation[]>();
  for (const [path, operations] of Object.entries(document.paths)) {
    for (const [method, operation] of Object.entries(operations)) {
      const name = operation.tags?.[0] ?? 'other';
      const model = operationModel(method.toUpperCase(), path, operation, base);
      groups.set(name, [...(groups.get(name) ?? []), model]);
    }
  }
  return [
    { lang: 'en', title: 'API reference', nav: null },
    {
      version: document.info.version,
      base,
      groups: [...groups]
        .map(([name, operations]) => ({ name, id: idOf(name), operations }))
        .sort((a, b) => (a.name < b.name ? -1 : 1)),
      shapes: Object.entries(document.components?.schemas ?? {})
        .map(([name, schema]) => ({
          name,
          about: schema.description ?? '',
          fields: fieldsOf(schema),
        }))
        .sort((a, b) => (a.name < b.name ? -1 : 1)),
    },
  ];
}

function operationModel(
  method: string,
  path: string,
  operation: ApiOperation,
  base: string,
): Operation {
  const body = jsonOf(operation.requestBody?.content);
  const statuses = Object.keys(operation.responses);
  const refused = statuses.filter((status) => Number(status) >= 400);
  return {
    id: idOf(`${method}-${path}`),
    method,
    path,
    summary: operation.summary ?? '',
    about: operation.description ?? '',
    parameters: (operation.parameters ?? []).map(({ name, required, schema }) =>
      fieldOf(name, schema, required === true),
    ),
    body: body === null ? null : fieldsOf(objectIn(body)),
    example: exampleCall(method, path, body, base, statuses),
    notes: [
      ...(statuses.includes('428') ? ['Needs If-Match with the ETag that you read.'] : []),
      ...(statuses.includes('422')
        ? ['Takes an Idempotency-Key, and is then done once however often it is sent.']
        : []),
    ],
    answers: statuses
      .filter((status) => Number(status) < 400)
      .map((status) => answerModel(status, operation.responses[status]?.content)),
    refusals: refused.join(', '),
  };
}

/** A body that may be left out is an object or null; its fields are the object's. */
function objectIn(schema: ApiSchema): ApiSchema {
  return (schema.anyOf ?? []).find(({ type }) => type === 'object') ?? schema;
}

function answerModel(status: string, content: ApiContent | undefined): Answer {
  const schema = jsonOf(content);
  if (schema === null || schema.type === 'null') {
    return { status, words: 'nothing further', shape: null, fields: [] };
  }
  const shape = shapeName(schema) ?? shapeName(schema.items ?? {});
  return { status, words: '', shape, fields: shape === null ? fieldsOf(objectIn(schema)) : [] };
}

function jsonOf(content: ApiContent | undefined): ApiSchema | null {
  return (content?.['application/json'] ?? content?.['application/problem+json'])?.schema ?? null;
}

function exampleCall(
  method: string,
  path: string,
  body: ApiSchema | null,
  base: string,
  statuses: readonly string[],
): string {
  const parts = [
    `curl ${method === 'GET' ? '' : `-X ${method} `}${base}${path.replaceAll(/\{(\w+)\}/g, (_, name: string) => name.toUpperCase())}`,
    `-H "Authorization: Bearer $KEY"`,
    ...(statuses.includes('428') ? [`-H 'If-Match: "v1"'`] : []),
    ...(body === null
      ? []
      : [
          `-H 'Content-Type: application/json'`,
          `-d '${JSON.stringify(exampleOf(objectIn(body)))}'`,
        ]),
  ];
  return parts.join(' \\\n  ');
}

function idOf(words: string): string {
  return words
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly reference: ReferenceModel;
  }
}
