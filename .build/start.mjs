#!/usr/bin/env node
// Starts the joined program with what the engine made of it before. Where that is missing or from another
// engine, it is compiled as ever.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { Script } from 'node:vm';

const folder = new URL('./', import.meta.url);
const filename = fileURLToPath(new URL('joined.cjs', folder));
const source = readFileSync(filename, 'latin1');
/** Kept for whoever makes the cache. */
export const script = new Script(
  `(function (require, module, exports, __filename, __load) {${source}\n})`,
  { filename, cachedData: madeBefore() },
);
const load = (name) => import(name);
begin();

/** Runs the program; whoever makes the cache has it run once more. */
export function begin() {
  const module = { exports: {} };
  script.runInThisContext()(createRequire(filename), module, module.exports, filename, load);
}

function madeBefore() {
  try {
    return readFileSync(new URL('joined.cache', folder));
  } catch {
    return undefined;
  }
}
