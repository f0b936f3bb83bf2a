import type { FastifyRequest, FastifySchemaCompiler } from 'fastify';
import { z } from 'zod';
import type { Fault } from '../../domain/refusal.ts';
import { pointerTo, Refused } from '../../domain/refusal.ts';

/** A request of which a part has not the shape that its route takes. */
export class Misshapen extends Refused {}

/**
 * Reads each part of a request by its shape. Unlike the type provider's own, its pointers are escaped
 * (RFC 6901), so that a field whose name holds a slash is named too.
 */
export const checkShape: FastifySchemaCompiler<z.ZodType> =
  ({ schema, httpPart = 'body' }) =>
  (data: unknown) => {
    const odd = httpPart === 'querystring' ? oddNumbers(schema, data) : [];
    if (odd.length > 0) return { error: new Misshapen({ kind: 'invalid', faults: odd }) };
    const read = schema.safeParse(data);
    if (read.success) return { value: read.data };
    const faults = read.error.issues.map((issue) => faultOf(httpPart, issue));
    return { error: new Misshapen({ kind: 'invalid', faults }) };
  };

function faultOf(part: string, { path, message, ...issue }: z.core.$ZodIssue): Fault {
  if (issue.code !== 'unrecognized_keys') return { pointer: placeOf(part, path), detail: message };
  return {
    pointer: placeOf(part, [...path, issue.keys[0] ?? '']),
    detail: `There is no such field: ${issue.keys.join(', ')}. Leave it out.`,
  };
}

function placeOf(part: string, path: readonly PropertyKey[]): string {
  if (part === 'body') return pointerTo(path);
  return path.length === 0 ? part : path.map(String).join('/');
}

const PLAIN_NUMBER = /^-?\d+(?:\.\d+)?$/;

/** Values of a query that are to be numbers and are not written as people write them, `0x10` for one. */
function oddNumbers(schema: z.ZodType, data: unknown): Fault[] {
  if (!(schema instanceof z.ZodObject) || typeof data !== 'object' || data === null) return [];
  const given = data as Readonly<Record<string, unknown>>;
  return Object.entries(schema.shape).flatMap(([name, field]) => {
    const values = name in given && holdsNumbers(field) ? [given[name]].flat() : [];
    return values.every((value) => PLAIN_NUMBER.test(String(value)))
      ? []
      : [{ pointer: name, detail: 'Give a number in digits, such as 12.' }];
  });
}

function holdsNumbers(field: unknown): boolean {
  if (field instanceof z.ZodOptional || field instanceof z.ZodDefault) {
    return holdsNumbers(field.unwrap());
  }
  if (field instanceof z.ZodTuple) return field.def.items.every((item) => holdsNumbers(item));
  return field instanceof z.ZodNumber;
}

/** Routes that take no query refuse one: a name that nobody reads was meant for something. */
export function refuseStrayQuery(request: FastifyRequest): void {
  const names = Object.keys(request.query as object);
  if (names.length === 0 || request.routeOptions.schema?.querystring !== undefined) return;
  throw new Misshapen({
    kind: 'invalid',
    faults: names.map((name) => ({
      pointer: name,
      detail: `There is no such field: ${name}. Leave it out.`,
    })),
  });
}
