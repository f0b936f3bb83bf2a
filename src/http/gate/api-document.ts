import type { FastifyInstance, RouteOptions } from 'fastify';
import { describedWhole, type Described } from './api-description.ts';

/** The description of the API (OpenAPI 3.1), made at its first reading and kept. */
export type ApiDescription = () => Promise<Described>;

/**
 * Notes every route that is added from here on, for the description. What writes it is loaded when somebody
 * reads it: a start, of which most are not read for their description, has no use for it.
 */
export function noteRoutes(app: FastifyInstance): ApiDescription {
  const routes: RouteOptions[] = [];
  app.addHook('onRoute', ({ method, url, schema }) => {
    // Those that a route brings along by itself answer as it does.
    if (method !== 'HEAD' && schema?.hide !== true) {
      routes.push({ method, url, schema, handler: () => null });
    }
  });
  let made: Promise<Described> | null = null;
  return () => (made ??= describe(routes));
}

async function describe(routes: readonly RouteOptions[]): Promise<Described> {
  const [{ default: fastify }, { default: swagger }, provider] = await Promise.all([
    import('fastify'),
    import('@fastify/swagger'),
    import('fastify-type-provider-zod'),
  ]);
  const { jsonSchemaTransform, jsonSchemaTransformObject } = provider;
  const paper = fastify({ exposeHeadRoutes: false });
  paper.setValidatorCompiler(() => () => true);
  paper.setSerializerCompiler(() => JSON.stringify);
  await paper.register(swagger, {
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
  for (const route of routes) paper.route(route);
  await paper.ready();
  return paper.swagger();
}
