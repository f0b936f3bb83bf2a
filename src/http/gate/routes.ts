import type { FastifyBaseLogger, FastifyInstance, RawServerDefault } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { problemShape } from './problem.ts';

/** The server as the routes see it: zod shapes check what comes in and describe what goes out. */
export type Routes = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse,
  FastifyBaseLogger,
  ZodTypeProvider
>;

/** The refusals that any route behind a key can give, for the API description. */
export const refusals = {
  400: problemShape,
  401: problemShape,
  403: problemShape,
  404: problemShape,
  429: problemShape,
} as const;

/** Those of a route that changes a record. */
export const changeRefusals = {
  ...refusals,
  409: problemShape,
  412: problemShape,
  428: problemShape,
} as const;

/** Those of a route that records something and may be repeated under an Idempotency-Key. */
export const recordRefusals = { ...refusals, 409: problemShape, 422: problemShape } as const;
