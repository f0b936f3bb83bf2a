// Has the benches measure the compiled modules that are shipped. What compiles the benches themselves on
// the way names every inner function anew whenever it is made, which the program never does.
import { register } from 'node:module';
import { isMainThread } from 'node:worker_threads';

const source = new URL('../src/', import.meta.url).href;
const shipped = new URL('../dist/', import.meta.url).href;

if (isMainThread) register(import.meta.url);

/** Resolves a module of the source to the one compiled from it. */
export async function resolve(specifier, context, next) {
  const found = await next(specifier, context);
  if (!found.url.startsWith(source)) return found;
  const [path] = found.url.slice(source.length).split('?');
  return {
    ...found,
    format: 'module',
    url: `${shipped}${path.replace(/\.ts$/, '.js')}`,
  };
}
