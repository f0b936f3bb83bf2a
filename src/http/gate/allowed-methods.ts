import type { FastifyInstance } from 'fastify';

/** What can be done at an address, to be said where something else was asked (RFC 9110, 15.5.6). */
export type AllowedAt = (path: string) => string[];

/** Notes every route that is added from here on. */
export function noteMethods(app: FastifyInstance): AllowedAt {
  const routes: { readonly at: RegExp; readonly methods: readonly string[] }[] = [];
  app.addHook('onRoute', ({ url, method }) => {
    const pattern = url
      .split(/(:\w+)/)
      .map((part) =>
        part.startsWith(':') ? '[^/]+' : part.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&'),
      )
      .join('');
    routes.push({ at: new RegExp(`^${pattern}$`), methods: [method].flat() });
  });
  return (path) => {
    const methods = routes.filter(({ at }) => at.test(path)).flatMap((route) => route.methods);
    return [...new Set(methods)].sort();
  };
}
