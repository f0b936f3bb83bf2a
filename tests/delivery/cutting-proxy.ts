import { connect, createServer } from 'node:net';
import type { AddressInfo, Socket } from 'node:net';

/** Stands between the program and PostgreSQL, and can lose the answer to a commit. */
export interface CuttingProxy {
  readonly url: string;
  /** Commits seen so far. */
  commits(): number;
  /**
   * Cuts the line at the nth commit from now: `after` it was made but before its answer comes back,
   * or `before` it reaches the database.
   */
  cutAt(nth: number, when: 'after' | 'before'): void;
  close(): Promise<void>;
}

export async function cuttingProxy(databaseUrl: string): Promise<CuttingProxy> {
  const target = new URL(databaseUrl);
  const sockets = new Set<Socket>();
  let commits = 0;
  let cut: { at: number; when: 'after' | 'before' } | null = null;
  const server = createServer((client) => {
    const database = connect(Number(target.port), target.hostname);
    let answerIsLost = false;
    const end = () => {
      client.destroy();
      database.destroy();
    };
    for (const socket of [client, database]) {
      sockets.add(socket);
      socket.on('error', end).on('close', end);
    }
    client.on('data', (bytes) => {
      if (bytes.includes('COMMIT')) {
        commits++;
        if (cut?.at === commits && cut.when === 'before') {
          end();
          return;
        }
        answerIsLost = cut?.at === commits;
      }
      database.write(bytes);
    });
    database.on('data', (bytes) => {
      if (answerIsLost) end();
      else client.write(bytes);
    });
  });
  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve);
  });
  const url = new URL(databaseUrl);
  url.hostname = '127.0.0.1';
  url.port = String((server.address() as AddressInfo).port);
  return {
    url: url.href,
    commits: () => commits,
    cutAt(nth, when) {
      cut = { at: commits + nth, when };
    },
    close: () =>
      new Promise((resolve) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => resolve());
      }),
  };
}
