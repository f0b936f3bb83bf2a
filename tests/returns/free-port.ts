import { createServer } from 'node:net';

/**
 * A free port of loopback, below those that the system hands out by itself, so that nobody is given
 * it before a server started from a settings file listens there.
 */
export async function freePort(): Promise<number> {
  for (;;) {
    const port = 20_000 + Math.floor(Math.random() * 10_000);
    const server = createServer();
    const free = await new Promise<boolean>((resolve) => {
      server.once('error', () => resolve(false));
      server.listen(port, '127.0.0.1', () => resolve(true));
    });
    if (!free) continue;
    await new Promise((resolve) => server.close(resolve));
    return port;
  }
}
