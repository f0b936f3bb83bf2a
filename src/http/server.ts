import formbody from '@fastify/formbody';
import helmet from '@fastify/helmet';
import type { FastifyBaseLogger, FastifyInstance, FastifyServerOptions } from 'fastify';
import fastify from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { speakPlainly } from '../usecases/records/field-words.ts';
import type { Context } from '../usecases/context/context.ts';
import { apiRoutes } from './api/api.ts';
import { pageRoutes } from './pages/pages.ts';
import type { Doorway } from './gate/doorway.ts';
import { loggedRequest } from './gate/log-mask.ts';
import type { Patience } from './gate/patience.ts';
import { PATIENCE, patientServer } from './gate/patience.ts';
import { noteMethods } from './gate/allowed-methods.ts';
import { noteRoutes } from './gate/api-document.ts';
import { answerProblems, sendProblem, LONGEST_PART, UNREADABLE } from './gate/problem.ts';
import { SAFE_HEADERS } from './gate/safe-headers.ts';
import { checkShape } from './gate/shape-check.ts';
import { writeByShape } from './gate/shape-write.ts';
import { tellOfRequests } from './gate/telling-requests.ts';

const LARGEST_BODY = 256 * 1024;

// Handed in at the start, so that Fastify does not load and build its own, which no route uses.
const ZOD_SHAPES = {
  buildValidator: () => checkShape,
  buildSerializer: () => writeByShape,
} as unknown as Compilers;
type Compilers = NonNullable<
  NonNullable<FastifyServerOptions['schemaController']>['compilersFactory']
>;

/** The HTTP server with every route, not listening yet. */
export async function buildServer(
  context: Context,
  doorway: Doorway,
  logger: FastifyServerOptions['logger'] | FastifyBaseLogger = false,
  patience: Patience = PATIENCE,
): Promise<FastifyInstance> {
  speakPlainly();
  const app = fastify({
    ...loggerWithoutTokens(logger),
    ...patientServer(patience),
    frameworkErrors: (fault, _request, reply) => {
      sendProblem(reply, fault.statusCode ?? 400, UNREADABLE);
    },
    bodyLimit: LARGEST_BODY,
    routerOptions: { maxParamLength: LONGEST_PART },
    schemaController: { compilersFactory: ZOD_SHAPES },
  }) as unknown as FastifyInstance;
  tellOfRequests(app);
  answerProblems(app, noteMethods(app));
  await app.register(formbody, { bodyLimit: 8 * 1024 });
  const description = noteRoutes(app);
  await app.register(
    async (scope) => {
      // Forms and bare text belong to pages; a program is told to send JSON.
      scope.removeContentTypeParser(['application/x-www-form-urlencoded', 'text/plain']);
      await apiRoutes(scope.withTypeProvider<ZodTypeProvider>(), context);
    },
    { prefix: '/v1' },
  );
  await app.register(async (scope) => {
    await scope.register(helmet, SAFE_HEADERS);
    await pageRoutes(scope, context, doorway, description);
  });
  await app.ready();
  return app;
}

/** The log of every request, whether a route takes it or not, without the tokens of links. */
function loggerWithoutTokens(logger: FastifyServerOptions['logger'] | FastifyBaseLogger) {
  const serializers = { req: loggedRequest } as unknown as Record<string, () => string>;
  if (typeof logger === 'object' && 'info' in logger) {
    return { loggerInstance: logger.child({}, { serializers }) };
  }
  return { logger: typeof logger === 'object' ? { ...logger, serializers } : logger };
}
