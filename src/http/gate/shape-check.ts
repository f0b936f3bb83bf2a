import type { FastifySchemaCompiler } from 'fastify';
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
