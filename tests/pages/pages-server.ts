import type { FastifyInstance } from 'fastify';
import type { Doorway } from '../../src/http/doorway.ts';
import { buildServer } from '../../src/http/server.ts';
import type { Deed } from '../../src/usecases/deed.ts';

/** A second server over the records of a workshop, with another address or a mail tray. */
export function serverFor(
  deed: Deed,
  changes: { publicUrl?: string; mailTray?: string | null } = {},
  logger: Parameters<typeof buildServer>[2] = false,
): Promise<FastifyInstance> {
  const doorway: Doorway = {
    mailTray: changes.mailTray ?? null,
    ready: async () => ({ ready: true, parts: { database: 'ok' } }),
    metrics: async () => ({ contentType: 'text/plain', text: '' }),
  };
  return buildServer({ ...deed, publicUrl: changes.publicUrl ?? deed.publicUrl }, doorway, logger);
}
