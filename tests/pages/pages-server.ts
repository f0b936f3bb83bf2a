import type { FastifyInstance } from 'fastify';
import type { Doorway } from '../../src/http/gate/doorway.ts';
import { buildServer } from '../../src/http/server.ts';
import type { Context } from '../../src/usecases/context/context.ts';

/** A second server over the records of a workshop, with another address or a mail tray. */
export function serverFor(
  context: Context,
  changes: { publicUrl?: string; mailTray?: string | null } = {},
  logger: Parameters<typeof buildServer>[2] = false,
): Promise<FastifyInstance> {
  const doorway: Doorway = {
    mailTray: changes.mailTray ?? null,
    ready: async () => ({ ready: true, parts: { database: 'ok' } }),
    metrics: async () => ({ contentType: 'text/plain', text: '' }),
  };
  return buildServer(
    { ...context, publicUrl: changes.publicUrl ?? context.publicUrl },
    doorway,
    logger,
  );
}
