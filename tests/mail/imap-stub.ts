import { createServer } from 'node:net';
import type { Socket } from 'node:net';
import { listen } from './smtp-stub.ts';

export interface StubMessage {
  readonly uid: number;
  readonly raw: string;
  seen: boolean;
}

/** A small IMAP server on loopback (RFC 3501, RFC 6851): one user, one mailbox, one to move to. */
export interface ImapStub {
  readonly port: number;
  readonly inbox: StubMessage[];
  readonly moved: StubMessage[];
  /** Every command with its tag cut off. */
  readonly commands: string[];
  close(): Promise<void>;
}

export interface ImapFaults {
  /** Cut the line when a command matches. */
  readonly dropAt?: RegExp;
  /** Say nothing at all. */
  readonly silent?: boolean;
}

export async function startImapStub(
  messages: readonly string[],
  faults: ImapFaults = {},
): Promise<ImapStub> {
  const inbox = messages.map((raw, index) => ({ uid: index + 1, raw, seen: false }));
  const moved: StubMessage[] = [];
  const commands: string[] = [];
  const sockets = new Set<Socket>();
  const byUid = (uid: string): StubMessage | undefined =>
    inbox.find((message) => message.uid === Number(uid));

  /** The untagged lines that answer a command, or null to refuse it. */
  function answer(command: string): string[] | null {
    if (/^CAPABILITY/i.test(command)) return ['CAPABILITY IMAP4rev1 MOVE'];
    if (/^LOGIN /i.test(command)) return /"?user"? "?right"?$/.test(command) ? [] : null;
    // RFC 3501 section 6.3.8: an empty name asks for the delimiter alone.
    if (/^LIST "" ""/i.test(command)) return ['LIST (\\Noselect) "/" ""'];
    if (/^(LIST|LSUB)/i.test(command)) {
      return ['LIST () "/" INBOX', 'LIST () "/" Done'];
    }
    if (/^SELECT/i.test(command)) {
      return [
        `${inbox.length} EXISTS`,
        '0 RECENT',
        'FLAGS (\\Seen \\Deleted)',
        'OK [PERMANENTFLAGS (\\Seen \\Deleted)] ok',
        'OK [UIDVALIDITY 1] ok',
        `OK [UIDNEXT ${messages.length + 1}] ok`,
      ];
    }
    if (/^UID SEARCH/i.test(command)) {
      const found = inbox.filter(({ seen }) => !seen).map(({ uid }) => uid);
      return [`SEARCH ${found.toReversed().join(' ')}`.trim()];
    }
    const fetch = /^UID FETCH (\d+) .*BODY\.PEEK\[\]<0\.(\d+)>/i.exec(command);
    if (fetch) {
      const message = byUid(fetch[1] ?? '');
      if (!message) return [];
      const part = message.raw.slice(0, Number(fetch[2]));
      const number = inbox.indexOf(message) + 1;
      return [`${number} FETCH (UID ${message.uid} BODY[]<0> {${part.length}}\r\n${part})`];
    }
    const store = /^UID STORE (\d+) \+FLAGS.*\\Seen/i.exec(command);
    if (store) {
      const message = byUid(store[1] ?? '');
      if (message) message.seen = true;
      return [];
    }
    const move = /^UID MOVE (\d+) "?Done"?$/i.exec(command);
    if (move) {
      const index = inbox.findIndex(({ uid }) => uid === Number(move[1]));
      moved.push(...inbox.splice(index, 1));
      return [`${index + 1} EXPUNGE`];
    }
    return /^(NOOP|CLOSE|UNSELECT|LOGOUT)/i.test(command) ? [] : null;
  }

  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    socket.on('error', () => socket.destroy());
    if (faults.silent) return;
    socket.setEncoding('latin1');
    socket.setNoDelay(true);
    socket.write('* OK ready\r\n');
    let rest = '';
    socket.on('data', (chunk: string) => {
      rest += chunk;
      for (let at = rest.indexOf('\r\n'); at >= 0; at = rest.indexOf('\r\n')) {
        const [tag = '', ...words] = rest.slice(0, at).split(' ');
        rest = rest.slice(at + 2);
        const command = words.join(' ');
        commands.push(command);
        if (faults.dropAt?.test(command)) {
          socket.destroy();
          return;
        }
        const lines = answer(command);
        const told = (lines ?? []).map((line) => `* ${line}\r\n`);
        // In one piece, as a server does: two would wait for each other on the way.
        socket.write(`${told.join('')}${tag} ${lines ? 'OK done' : 'NO refused'}\r\n`, 'latin1');
        if (/^LOGOUT/i.test(command)) socket.end();
      }
    });
  });
  const port = await listen(server);
  return {
    port,
    inbox,
    moved,
    commands,
    async close() {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => {
        server.close(resolve);
      });
    },
  };
}
