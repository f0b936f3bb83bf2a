import { connect } from 'node:net';
import { statSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type App, buildApp } from '../../src/app.ts';
import { askServer } from '../../src/cli/ask-server.ts';
import { buildProgram } from '../../src/cli/program.ts';
import { readSettings } from '../../src/config.ts';
import { commandSocketOf } from '../../src/store/database/open-store.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { ownFolder } from '../records/lived-in.ts';

const folder = ownFolder();
const databaseUrl = `file:${folder.path('served.db')}`;
const socket = commandSocketOf(databaseUrl) ?? '';
const CARS = `Owner;E-mail;Registration;Folding top fitted on
Ida Finch;ida@example.org;XX 1;2025-05-05
`;

let app: App;
beforeAll(async () => {
  const elsewhere = () => Promise.reject(new Error('not asked for'));
  const unasked = () => {
    throw new Error('not asked for');
  };
  const settings = readSettings({
    DATABASE_URL: databaseUrl,
    MAIL_TRAY: folder.path('tray'),
    PORT: '0',
    LOG_LEVEL: 'silent',
  });
  const build = async (context: Context) =>
    buildProgram({
      openContext: async () => context,
      serve: elsewhere,
      openServer: elsewhere,
      mailSetup: unasked,
      databaseUrl: () => databaseUrl,
      backupPlan: unasked,
      now: () => new Date().toISOString(),
    });
  const wordsOf = (fault: unknown) => (fault as Error).message;
  app = await buildApp(settings, { commands: { build, wordsOf } });
  await app.listen();
});
afterAll(async () => {
  await app.close();
  folder.remove();
});

/** What a command came to that asked the server. */
async function asked(...words: string[]) {
  let [out, err] = ['', ''];
  const code = await askServer(socket, words, {
    out: (more) => (out += more),
    err: (more) => (err += more),
  });
  return { code, out, err };
}

describe('a command beside a server that holds a SQLite file', () => {
  it('makes a key through it, which opens at once, and ends it', async () => {
    const { code, out: key } = await asked('key', '--organisation', 'A Shop', '--name', 'spare');
    expect(code).toBe(0);
    expect(key).toMatch(/^fk_[\w-]{43}\n$/);
    const authorization = `Bearer ${key.trim()}`;
    const cars = () => app.server.inject({ url: '/v1/cars', headers: { authorization } });
    expect((await cars()).statusCode).toBe(200);
    const { out: listed } = await asked('key', 'list');
    expect(listed).toContain('  spare\n');
    expect((await asked('key', 'revoke', listed.slice(0, 36))).out).toBe('Revoked.\n');
    expect((await cars()).statusCode).toBe(401);
  });

  it('brings the file along that it takes in, and names it as whoever asks does', async () => {
    await asked('key', '--organisation', 'Importers');
    const file = folder.path('cars.csv');
    writeFileSync(file, CARS);
    const whose = ['--organisation', 'Importers'];
    const dry = await asked('import', ...whose, file, '--dry-run');
    expect(dry.out).toMatch(/^Would add:\n {2}owners +1\n {2}cars +1\n/);
    const took = await asked('import', file, ...whose);
    expect(took).toMatchObject({ code: 0, err: '' });
    expect(took.out).toMatch(/^Added:\n {2}owners +1\n {2}cars +1\n/);
    writeFileSync(file, 'SQLite format 3\0');
    const refused = await asked('import', file, ...whose);
    expect(refused.code).toBe(1);
    expect(refused.err).toBe('cars.csv is a backup, not an export. Use foldkeep restore.\n');
  });

  it('holds a round through it', async () => {
    const { code, out } = await asked('round', '--dry-run');
    expect(code).toBe(0);
    expect(out).toMatch(/^Dry round at .+Z\n[^]*letters would be written/);
  });

  it('says what was wrong, and the server stays', async () => {
    const { code, err } = await asked('round', '--at', 'noon');
    expect(code).toBe(1);
    expect(err).toContain('Give an instant with its offset');
    expect((await asked('key', 'list')).code).toBe(0);
  });

  it('leaves the other commands to themselves', async () => {
    expect((await asked('restore', 'copy.db')).code).toBeNull();
    // Whoever asks past the command is refused by the server.
    const line = connect(socket);
    line.write('{"words":["serve"],"file":null}\n');
    const said = await new Promise((resolve) => {
      let text = '';
      line.on('data', (more) => (text += String(more))).once('end', () => resolve(text));
    });
    expect(said).toContain('does not do that');
    expect(said).toContain('{"ended":1}');
  });

  it('is let in as the user of the server alone', () => {
    expect(statSync(socket).mode & 0o077).toBe(0);
  });
});
