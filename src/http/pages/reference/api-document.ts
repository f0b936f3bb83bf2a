/** The part of an OpenAPI 3.1 document that the reference is written from. */
export interface ApiDocument {
  readonly info: { readonly title: string; readonly version: string };
  readonly paths: Readonly<Record<string, Readonly<Record<string, ApiOperation>>>>;
  readonly components?: { readonly schemas?: Readonly<Record<string, ApiSchema>> };
}

export interface ApiOperation {
  readonly summary?: string;
  readonly description?: string;
  readonly tags?: readonly string[];
  readonly parameters?: readonly {
    readonly name: string;
    readonly in: string;
    readonly required?: boolean;
    readonly schema: ApiSchema;
  }[];
  readonly requestBody?: { readonly content: ApiContent };
  readonly responses: Readonly<Record<string, { readonly content?: ApiContent }>>;
}

export type ApiContent = Readonly<Record<string, { readonly schema?: ApiSchema }>>;

export interface ApiSchema {
  readonly $ref?: string;
  readonly type?: string;
  readonly format?: string;
  readonly description?: string;
  readonly example?: unknown;
  readonly default?: unknown;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly ApiSchema[];
  readonly oneOf?: readonly ApiSchema[];
  readonly allOf?: readonly ApiSchema[];
  readonly items?: ApiSchema;
  readonly properties?: Readonly<Record<string, ApiSchema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: boolean | ApiSchema;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly minItems?: number;
  readonly maxItems?: number;
}

/** The schema with its null taken away: most of them are something or null. */
export function withoutNull(schema: ApiSchema): { schema: ApiSchema; nullable: boolean } {
  const options = schema.anyOf ?? schema.oneOf;
  if (options === undefined) return { schema, nullable: false };
  const solid = options.filter(({ type }) => type !== 'null');
  const nullable = solid.length < options.length;
  const [only, ...more] = solid;
  if (only === undefined || more.length > 0) return { schema, nullable };
  const { description } = schema;
  return { schema: description === undefined ? only : { ...only, description }, nullable };
}

/** The name of the shape that a schema refers to, or null. */
export function shapeName({ $ref }: ApiSchema): string | null {
  return $ref?.split('/').at(-1) ?? null;
}
