// Joins the program's modules and the packages that a start needs into one file, and keeps beside it what
// the engine made of it: opening and compiling a thousand files takes longer than all that they do at a
// start. dist/ keeps the single modules, for what is run from them; dist/main.js starts the joined ones.
import { spawnSync } from 'node:child_process';
import { chmodSync, copyFileSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const source = here('../src/');

/** A module still finds its files from where it would stand alone; dist/main.js has the first line of scripts. */
const ownModules = {
  name: 'own-modules',
  setup({ onLoad }) {
    onLoad({ filter: /\.ts$/ }, ({ path }) => {
      if (!path.startsWith(source)) return null;
      const text = readFileSync(path, 'utf8').replace(/^#!.*/, '');
      const place = `./${relative(source, path).replace(/\.ts$/, '.js')}`;
      const address = `new URL(${JSON.stringify(place)}, __address).href`;
      return { contents: text.replaceAll('import.meta.url', address), loader: 'ts' };
    });
  },
};

// A script out of a code cache cannot import by itself (Node 20); dist/main.js does it for it. The name is as
// long as the word that it stands for, so that the source map stays true.
const IMPORTS = /(?<![.\w$])import\((?=")/g;

rmSync(here('../dist/joined.cache'), { force: true });
const joined = await build({
  write: false,
  entryPoints: [here('../src/main.ts')],
  outfile: here('../dist/joined.cjs'),
  bundle: true,
  format: 'cjs',
  platform: 'node',
  target: 'node20',
  sourcemap: true,
  sourcesContent: false,
  legalComments: 'none',
  define: { 'import.meta.url': '__address' },
  banner: { js: `const __address = require('node:url').pathToFileURL(__filename).href;` },
  external: [
    // Native parts, and what looks for files of its own beside itself.
    'better-sqlite3',
    'sharp',
    '@resvg/resvg-js',
    '@node-rs/argon2',
    'prisma',
    'date-holidays',
    // Large, and loaded by those who need them.
    '@prisma/client/runtime/query_compiler*',
    '@simplewebauthn/server',
    '@zxcvbn-ts/*',
    'imapflow',
    'mailauth',
    '@opentelemetry/*',
    // What pg and Fastify would use and we do not.
    'pg-native',
    '@fastify/ajv-compiler',
    '@fastify/fast-json-stringify-compiler',
    'light-my-request',
  ],
  plugins: [ownModules],
  logLevel: 'warning',
});
for (const { path, text } of joined.outputFiles) {
  writeFileSync(path, path.endsWith('.map') ? text : text.replaceAll(IMPORTS, '__load('));
}
copyFileSync(here('start.mjs'), here('../dist/main.js'));
// npm does so once, where npx sees the program for the first time; each later build is a new file.
chmodSync(here('../dist/main.js'), 0o755);

const warmed = spawnSync(process.execPath, [here('warm.mjs')], { stdio: 'inherit' });
if (warmed.status !== 0) {
  process.stderr.write('The program is built; it will start slowly, for it could not be warmed.\n');
}
