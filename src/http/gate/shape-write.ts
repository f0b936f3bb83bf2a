import type { FastifySerializerCompiler } from 'fastify';
import { ResponseSerializationError } from 'fastify-type-provider-zod';
import type { z } from 'zod';

/**
 * Writes an answer by the shape that its route promises: what the shape does not name is left out, and
 * an answer that is not of its shape is a fault of ours, never sent. Shapes of answers hold no codecs, so
 * they are read forwards: the type provider's own writer reads them backwards, as codecs need it, which
 * costs four times as much.
 */
export const writeByShape: FastifySerializerCompiler<z.ZodType> =
  ({ schema, method, url }) =>
  (data) => {
    const read = schema.safeParse(data);
    if (read.success) return JSON.stringify(read.data);
    throw new ResponseSerializationError(method, url, { cause: read.error });
  };
