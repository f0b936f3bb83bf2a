import { createHash } from 'node:crypto';
import { SMTPServer } from 'smtp-server';
import type { SMTPServerAddress } from 'smtp-server';
import { listen } from '../mail/smtp-stub.ts';

/** A real mail server on loopback that keeps the Message-ID of every letter it takes over. */
export interface Sink {
  readonly url: string;
  /** How often each Message-ID was taken over. */
  readonly copies: Map<string, number>;
  /** The digests of all bytes that came under a Message-ID: one, where the copies are the same. */
  readonly contents: Map<string, Set<string>>;
  /** The return path of every letter taken over. */
  readonly returnPaths: string[];
  /** All letters taken over, copies included. */
  taken(): number;
  /** Letters whose last byte came and which are not answered yet. */
  pondered(): number;
  close(): Promise<void>;
}

/** What the server says to a recipient, to a letter, or `drop` instead of the answer to the dot. */
export interface Manners {
  recipient?(address: string): string | null;
  letter?(address: string, messageId: string): string | null;
  /** So long (ms) it ponders each letter before it answers. */
  readonly pondersMs?: number;
}

export async function startSink(manners: Manners = {}): Promise<Sink> {
  const copies = new Map<string, number>();
  const contents = new Map<string, Set<string>>();
  const { recipient = () => null, letter = () => null, pondersMs = 0 } = manners;
  const returnPaths: string[] = [];
  let taken = 0;
  let pondered = 0;
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    disableReverseLookup: true,
    closeTimeout: 200,
    onRcptTo: ({ address }: SMTPServerAddress, _session, done) => done(faultOf(recipient(address))),
    onData(stream, session, done) {
      let head = '';
      const digest = createHash('sha256');
      stream.on('data', (chunk: Buffer) => {
        digest.update(chunk);
        if (head.length < 8_000) head += chunk.toString('latin1');
      });
      const answer = () => {
        const id = /^Message-ID: (<[^>]+>)/im.exec(head)?.[1] ?? 'none';
        const words = letter(session.envelope.rcptTo[0]?.address ?? '', id);
        if (words !== null && words !== 'drop') {
          done(faultOf(words));
          return;
        }
        taken++;
        copies.set(id, (copies.get(id) ?? 0) + 1);
        contents.set(id, (contents.get(id) ?? new Set()).add(digest.digest('hex')));
        const { mailFrom } = session.envelope;
        if (mailFrom !== false) returnPaths.push(mailFrom.address);
        if (words === 'drop') connections.get(session.id)?.destroy();
        else done();
      };
      stream.on('end', () => {
        if (pondersMs === 0) {
          answer();
          return;
        }
        pondered++;
        setTimeout(() => {
          pondered--;
          answer();
        }, pondersMs);
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
    contents,
    returnPaths,
    taken: () => taken,
    pondered: () => pondered,
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
