import { SMTPServer } from 'smtp-server';
import type { SMTPServerAddress } from 'smtp-server';
import { listen } from '../mail/smtp-stub.ts';

/** A real mail server on loopback that keeps the Message-ID of every letter it takes over. */
export interface Sink {
  readonly url: string;
  /** How often each Message-ID was taken over. */
  readonly copies: Map<string, number>;
  /** All letters taken over, copies included. */
  taken(): number;
  close(): Promise<void>;
}

/** What the server says to a recipient, to a letter, or `drop` instead of the answer to the dot. */
export interface Manners {
  recipient?(address: string): string | null;
  letter?(address: string, messageId: string): string | null;
}

export async function startSink(manners: Manners = {}): Promise<Sink> {
  const copies = new Map<string, number>();
  const { recipient = () => null, letter = () => null } = manners;
  let taken = 0;
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    disableReverseLookup: true,
    closeTimeout: 200,
    onRcptTo: ({ address }: SMTPServerAddress, _session, done) => done(faultOf(recipient(address))),
    onData(stream, session, done) {
      let head = '';
      stream.on('data', (chunk: Buffer) => {
        if (head.length < 8_000) head += chunk.toString('latin1');
      });
      stream.on('end', () => {
        const id = /^Message-ID: (<[^>]+>)/im.exec(head)?.[1] ?? 'none';
        const words = letter(session.envelope.rcptTo[0]?.address ?? '', id);
        if (words !== null && words !== 'drop') {
          done(faultOf(words));
          return;
        }
        taken++;
        copies.set(id, (copies.get(id) ?? 0) + 1);
        if (words === 'drop') connections.get(session.id)?.destroy();
        else done();
      });
    },
    onConnect: (session, done) => {
      const socket = waiting.get(session.remotePort);
      if (socket !== undefined) connections.set(session.id, socket);
      done();
    },
  });
  const waiting = new Map<number, { destroy(): void }>();
  const connections = new Map<string, { destroy(): void }>();
  server.server.on('connection', (socket: import('node:net').Socket) => {
    waiting.set(socket.remotePort ?? 0, socket);
  });
  server.on('error', () => undefined);
  const port = await listen(server.server);
  return {
    url: `smtp://127.0.0.1:${port}`,
    copies,
    taken: () => taken,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
      }),
  };
}

function faultOf(words: string | null): Error | null {
  if (words === null) return null;
  return Object.assign(new Error(words.slice(4)), { responseCode: Number(words.slice(0, 3)) });
}
