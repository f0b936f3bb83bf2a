import type { ApiSchema } from './api-document.ts';
import { shapeName, withoutNull } from './api-document.ts';

/** One field of a body, a shape or a query, as the reference shows it. */
export interface FieldModel {
  /** Dotted from the top: `keeping.place`, `readings[].pivot`. */
  readonly name: string;
  readonly type: string;
  /** Shape that is described elsewhere on the page; null where the type says all. */
  readonly shape: string | null;
  readonly needed: boolean;
  /** Values, bounds and default, in words; empty where there are none. */
  readonly limits: string;
  readonly about: string;
  readonly example: string;
}

const DEEPEST = 6;

/** The fields of an object, those of its inner objects after it. */
export function fieldsOf(schema: ApiSchema, prefix = '', depth = 0): FieldModel[] {
  const needed = new Set(schema.required ?? []);
  return Object.entries(schema.properties ?? {}).flatMap(([name, value]) => {
    const field = fieldOf(`${prefix}${name}`, value, needed.has(name));
    return depth >= DEEPEST ? [field] : [field, ...innerFields(field.name, value, depth)];
  });
}

function innerFields(name: string, value: ApiSchema, depth: number): FieldModel[] {
  const { schema } = withoutNull(value);
  if (schema.type === 'object') return fieldsOf(schema, `${name}.`, depth + 1);
  const items = schema.type === 'array' && schema.items ? withoutNull(schema.items).schema : null;
  return items?.type === 'object' ? fieldsOf(items, `${name}[].`, depth + 1) : [];
}

/** One field in words. */
export function fieldOf(name: string, value: ApiSchema, needed: boolean): FieldModel {
  const { schema, nullable } = withoutNull(value);
  return {
    name,
    type: `${typeOf(schema)}${nullable ? ' or null' : ''}`,
    shape: shapeName(schema) ?? shapeName(schema.items ?? {}),
    needed,
    limits: limitsOf(schema, value).join('; '),
    about: value.description ?? schema.description ?? '',
    example: written(value.example ?? schema.example),
  };
}

function typeOf(schema: ApiSchema): string {
  const shape = shapeName(schema);
  if (shape !== null) return shape;
  if (schema.const !== undefined) return written(schema.const);
  if (schema.enum !== undefined) return 'one of';
  const options = schema.anyOf ?? schema.oneOf ?? schema.allOf;
  if (options !== undefined) return [...new Set(options.map(typeOf))].join(' or ');
  if (schema.type === 'array') return `list of ${typeOf(withoutNull(schema.items ?? {}).schema)}`;
  if (schema.type === 'string') return FORMATS[schema.format ?? ''] ?? 'text';
  if (schema.type === 'integer') return 'whole number';
  return schema.type === 'boolean' ? 'true or false' : (schema.type ?? 'anything');
}

const FORMATS: Readonly<Record<string, string>> = {
  date: 'day',
  'date-time': 'instant',
  email: 'e-mail address',
};

function limitsOf(schema: ApiSchema, outer: ApiSchema): string[] {
  const values = schema.enum ?? (schema.items?.enum !== undefined ? schema.items.enum : undefined);
  const standard = outer.default ?? schema.default;
  return [
    ...(values === undefined ? [] : [values.map(written).join(', ')]),
    ...range(schema.minimum ?? schema.exclusiveMinimum, schema.maximum ?? schema.exclusiveMaximum),
    ...range(schema.minLength, schema.maxLength, ' characters'),
    ...range(schema.minItems, schema.maxItems, ' entries'),
    ...(standard === undefined || typeof standard === 'object'
      ? []
      : [`${written(standard)} where left out`]),
  ];
}

function range(least: number | undefined, most: number | undefined, unit = ''): string[] {
  const from = bound(least);
  const to = bound(most);
  if (from !== null && to !== null) return [`${from} to ${to}${unit}`];
  if (to !== null) return [`${to}${unit} at most`];
  return from === null || (from === 0 && unit !== '') ? [] : [`${from}${unit} at least`];
}

/** Bounds that only say what a number in JSON can be are no news. */
function bound(value: number | undefined): number | null {
  return value === undefined || Math.abs(value) >= Number.MAX_SAFE_INTEGER ? null : value;
}

function written(value: unknown): string {
  if (value === undefined) return '';
  return typeof value === 'string' ? value : JSON.stringify(value);
}

/** A small body that would be taken: the fields that are needed, with their examples. */
export function exampleOf(value: ApiSchema): unknown {
  const { schema } = withoutNull(value);
  const told = value.example ?? schema.example ?? schema.const ?? schema.enum?.[0];
  if (told !== undefined) return told;
  switch (schema.type ?? 'string') {
    case 'object': {
      const needed = schema.required ?? [];
      const entries = Object.entries(schema.properties ?? {}).filter(([name]) =>
        needed.includes(name),
      );
      return Object.fromEntries(entries.map(([name, inner]) => [name, exampleOf(inner)]));
    }
    case 'array':
      return schema.minItems === undefined || schema.minItems === 0
        ? []
        : [exampleOf(schema.items ?? {})];
    case 'integer':
    case 'number':
      return bound(schema.minimum) ?? 1;
    case 'boolean':
      return true;
    default:
      return schema.format === 'email' ? 'name@example.org' : '…';
  }
}
