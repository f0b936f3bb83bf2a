import type { FastifyInstance } from 'fastify';

/** The API description for machines, and the same for people to read. */
export function referenceRoutes(app: FastifyInstance): void {
  const hidden = { schema: { hide: true } };
  app.get('/openapi.json', hidden, async () => app.swagger());
}
