import { createWriteStream, existsSync, mkdtempSync, rmSync, unlinkSync } from 'node:fs';
import { createServer, type Socket } from 'node:net';
import { basename, dirname, join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { Command } from 'commander';
import { type Asked, type Said, TAKEN_OVER } from './ask-server.ts';
import { speakingTo, type Voice } from './voice.ts';

/** The commands of this machine that a server takes over while it holds the records. */
export interface CommandLine {
  /** Takes no more, and waits for those in hand. */
  close(): Promise<void>;
}

// A first line that is longer is no command; files come after it.
const LONGEST_HEAD = 64 * 1024;
/** Whoever says nothing for so long has asked for nothing. */
const SILENCE_MS = 10_000;

/**
 * Listens at a socket of the file system for the commands of this machine, and does each as the server's own
 * work: one process holds the records, and it is this one. Whoever may open the socket may open the
 * records: both are for the server's user alone. `wordsOf` says in words what went wrong.
 * Throws where the file system has no such sockets, or the path is too long for one.
 */
export async function takeCommands(
  socket: string,
  build: () => Promise<Command>,
  wordsOf: (fault: unknown) => string,
): Promise<CommandLine> {
  // The lock of the records is held, so whoever left it there has gone.
  if (existsSync(socket)) unlinkSync(socket);
  const inHand = new Set<Promise<void>>();
  const server = createServer((line) => {
    line.on('error', () => line.destroy());
    line.setTimeout(SILENCE_MS, () => line.destroy());
    const turn = take(line, dirname(socket), build, wordsOf).catch(() => {
      line.destroy();
    });
    inHand.add(turn);
    void turn.then(() => inHand.delete(turn));
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    // It is made with the mask of this moment, so that nobody else can ever open it.
    const mask = process.umask(0o077);
    server.listen(socket, resolve);
    process.umask(mask);
  });
  return {
    async close() {
      const closed = new Promise((resolve) => {
        server.close(resolve);
      });
      await Promise.all(inHand);
      await closed;
    },
  };
}

async function take(
  line: Socket,
  folder: string,
  build: () => Promise<Command>,
  wordsOf: (fault: unknown) => string,
): Promise<void> {
  const say = (said: Said) => void line.write(`${JSON.stringify(said)}\n`);
  const { asked, rest } = await headOf(line);
  const voice: Voice = { out: (out) => say({ out }), err: (err) => say({ err }) };
  const own = mkdtempSync(join(folder, 'command-'));
  let ended = 0;
  try {
    const words = [...asked.words];
    if (!TAKEN_OVER.has(words[0] ?? '')) throw new Error('A running server does not do that.');
    if (asked.file !== null) {
      const path = join(own, basename(asked.file.name));
      await keep(line, rest, path, asked.file.bytes);
      words[asked.file.place] = path;
    }
    line.setTimeout(0);
    const program = await build();
    staying(program, voice);
    await speakingTo(voice, () => program.parseAsync(['node', 'foldkeep', ...words]));
  } catch (fault) {
    voice.err(`${wordsOf(fault).replaceAll(`${own}/`, '')}\n`);
    ended = 1;
  } finally {
    rmSync(own, { recursive: true, force: true });
  }
  say({ ended });
  line.end();
}

/** The first line, and what came behind it in the same piece. */
async function headOf(line: Socket): Promise<{ asked: Asked; rest: Buffer }> {
  let read = Buffer.alloc(0);
  for (;;) {
    const piece = await nextOf(line);
    if (piece === null) throw new Error('it ended before it had asked');
    read = Buffer.concat([read, piece]);
    const end = read.indexOf('\n');
    if (end >= 0) {
      const asked = JSON.parse(read.subarray(0, end).toString('utf8')) as Asked;
      return { asked, rest: read.subarray(end + 1) };
    }
    if (read.length > LONGEST_HEAD) throw new Error('it asks for too much');
  }
}

/** Writes as many bytes as were announced into a file that only this process reads. */
async function keep(line: Socket, rest: Buffer, path: string, bytes: number): Promise<void> {
  const pieces = async function* () {
    let left = bytes - rest.length;
    yield rest.subarray(0, bytes);
    while (left > 0) {
      const piece = await nextOf(line);
      if (piece === null) throw new Error('The file did not come whole. Nothing was recorded.');
      left -= piece.length;
      yield piece;
    }
  };
  await pipeline(pieces(), createWriteStream(path, { mode: 0o600 }));
}

async function nextOf(line: Socket): Promise<Buffer | null> {
  for (;;) {
    const piece = line.read() as Buffer | null;
    if (piece !== null) return piece;
    if (line.readableEnded || line.destroyed) return null;
    await new Promise<void>((resolve) => {
      const go = () => {
        for (const event of ['readable', 'end', 'close']) line.off(event, go);
        resolve();
      };
      for (const event of ['readable', 'end', 'close']) line.on(event, go);
    });
  }
}

/** Words that commander refuses end the command, never the server. */
function staying(command: Command, voice: Voice): void {
  command.exitOverride().configureOutput({
    writeOut: (words) => voice.out(words),
    writeErr: (words) => voice.err(words),
  });
  for (const one of command.commands) staying(one, voice);
}
