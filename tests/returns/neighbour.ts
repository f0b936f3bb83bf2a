import { SMTPServer } from 'smtp-server';
import type { SMTPServerAddress } from 'smtp-server';
import { listen } from '../mail/smtp-stub.ts';

/** A mail server of somebody else, which answers for its recipients as the test has it. */
export interface Neighbour {
  readonly port: number;
  /** What it took over, raw. */
  readonly taken: Buffer[];
  /** The answer to a recipient, by the name before the @; others are taken. */
  readonly answers: Map<string, string>;
  close(): Promise<void>;
}

export async function startNeighbour(): Promise<Neighbour> {
  const taken: Buffer[] = [];
  const answers = new Map<string, string>();
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    // An old one: whatever is not plain ASCII by now would be recoded on the way to it.
    hide8BITMIME: true,
    hideSMTPUTF8: true,
    disableReverseLookup: true,
    closeTimeout: 200,
    onRcptTo({ address }: SMTPServerAddress, _session, done) {
      const words = answers.get(address.split('@')[0] ?? '');
      if (words === undefined) return done();
      done(Object.assign(new Error(words.slice(4)), { responseCode: Number(words.slice(0, 3)) }));
    },
    onData(stream, _session, done) {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => {
        taken.push(Buffer.concat(chunks));
        done();
      });
    },
  });
  server.on('error', () => undefined);
  const port = await listen(server.server);
  return {
    port,
    taken,
    answers,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}
