import { createServer } from 'node:net';
import type { Server, Socket } from 'node:net';

/** What the stub does with one line from the client, or with the end of a letter. */
export type StubStep = 'greeting' | 'EHLO' | 'MAIL' | 'RCPT' | 'DATA' | 'body' | 'dot';

/**
 * A mail server on loopback that misbehaves by script: for a step it may answer with other words,
 * say nothing (`silent`), or cut the line (`drop`, `reset`). A step without a script goes well.
 */
export interface Stub {
  readonly url: string;
  readonly connections: () => number;
  /** Recipients whose letter was taken over, in order. */
  readonly accepted: string[];
  /** Says a line on every open connection, where a step was left silent. */
  say(line: string): void;
  close(): Promise<void>;
}

/** `line` is the command; for DATA and the final dot it is the recipient instead. */
export type Script = (step: StubStep, line: string, connection: number) => string | undefined;

const USUAL: Record<StubStep, string> = {
  greeting: '220 stub.example ready',
  EHLO: '250 stub.example',
  MAIL: '250 2.1.0 ok',
  RCPT: '250 2.1.5 ok',
  DATA: '354 go ahead',
  body: '',
  dot: '250 2.0.0 queued as 1',
};

export async function startStub(script: Script): Promise<Stub> {
  const accepted: string[] = [];
  const sockets = new Set<Socket>();
  let connections = 0;
  const server: Server = createServer((socket) => {
    const number = ++connections;
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    socket.on('error', () => socket.destroy());
    let inBody = false;
    let recipient = '';
    let rest = '';
    const act = (step: StubStep, line = ''): void => {
      const answer = script(step, line, number) ?? USUAL[step];
      if (answer === 'drop') socket.destroy();
      else if (answer === 'reset') socket.resetAndDestroy();
      else if (answer !== 'silent' && answer !== '') socket.write(`${answer}\r\n`);
      if (step === 'DATA' && answer.startsWith('354')) inBody = true;
      if (step === 'dot' && answer.startsWith('2')) accepted.push(recipient);
    };
    socket.setEncoding('latin1');
    socket.on('data', (chunk: string) => {
      rest += chunk;
      if (inBody) act('body');
      for (let at = rest.indexOf('\r\n'); at >= 0; at = rest.indexOf('\r\n')) {
        const line = rest.slice(0, at);
        rest = rest.slice(at + 2);
        if (inBody) {
          if (line !== '.') continue;
          inBody = false;
          act('dot', recipient);
        } else if (/^(EHLO|HELO)/i.test(line)) act('EHLO', line);
        else if (/^MAIL/i.test(line)) act('MAIL', line);
        else if (/^RCPT/i.test(line)) {
          recipient = /<([^>]*)>/.exec(line)?.[1] ?? '';
          act('RCPT', line);
        } else if (/^DATA/i.test(line)) act('DATA', recipient);
        else if (/^QUIT/i.test(line)) socket.end('221 bye\r\n');
        else socket.write('250 ok\r\n');
      }
    });
    act('greeting');
  });
  const port = await listen(server);
  return {
    url: `smtp://127.0.0.1:${port}`,
    connections: () => connections,
    accepted,
    say: (line) => {
      for (const socket of sockets) socket.write(`${line}\r\n`);
    },
    async close() {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** Listens on a free port of loopback and tells which. */
export async function listen(server: Server): Promise<number> {
  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve);
  });
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}
