#!/usr/bin/env node
// Starts the joined program with what the engine made of it before. Where that is missing or from another
// engine, it is compiled as ever.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { constants, Script } from 'node:vm';

const folder = new URL('./', import.meta.url);
const filename = fileURLToPath(new URL('joined.cjs', folder));
const script = new Script(
  `(function (require, module, exports, __filename) {${readFileSync(filename, 'latin1')}\n})`,
  {
    filename,
    cachedData: madeBefore(),
    importModuleDynamically: constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
  },
);
const module = { exports: {} };
script.runInThisContext()(createRequire(filename), module, module.exports, filename);
export { script };

function madeBefore() {
  try {
    return readFileSync(new URL('joined.cache', folder));
  } catch {
    return undefined;
  }
}
