import formbody from '@fastify/formbody';
import helmet from '@fastify/helmet';
import swagger from '@fastify/swagger';
import type { FastifyBaseLogger, FastifyInstance, FastifyServerOptions } from 'fastify';
import fastify from 'fastify';
import {
  jsonSchemaTransform,
  jsonSchemaTransformObject,
  serializerCompiler,
} from 'fastify-type-provider-zod';
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
import { describedWhole } from './gate/api-description.ts';
import { answerProblems, sendProblem } from './gate/problem.ts';
import { SAFE_HEADERS } from './gate/safe-headers.ts';
import { checkShape } from './gate/shape-check.ts';

const LARGEST_BODY = 256 * 1024;

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
      sendProblem(reply, fault.statusCode ?? 400, 'This address cannot be read. See /reference.');
    },
    bodyLimit: LARGEST_BODY,
    routerOptions: { maxParamLength: 200 },
  }) as unknown as FastifyInstance;
  app.setValidatorCompiler(checkShape);
  app.setSerializerCompiler(serializerCompiler);
  answerProblems(app, noteMethods(app));
  await app.register(formbody, { bodyLimit: 8 * 1024 });
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.1',
      info: {
        title: 'Foldkeep',
        version: '1',
        description: 'Keeps convertible tops alive after they are fitted.',
        contact: { name: 'Whoever runs this server' },
        license: { name: 'None granted', identifier: 'LicenseRef-None' },
      },
      components: { securitySchemes: { key: { type: 'http', scheme: 'bearer' } } },
      security: [{ key: [] }],
    },
    transform: jsonSchemaTransform,
    transformObject: (document) => describedWhole(jsonSchemaTransformObject(document)),
  });
  await app.register(
    async (scope) => {
      await apiRoutes(scope.withTypeProvider<ZodTypeProvider>(), context);
    },
    { prefix: '/v1' },
  );
  await app.register(async (scope) => {
    await scope.register(helmet, SAFE_HEADERS);
    await pageRoutes(scope, context, doorway);
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
