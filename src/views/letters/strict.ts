import { RenderRefused } from '../words/refused.ts';

/**
 * A view of `value` that refuses every field it does not have, by its path. A template that asks
 * for a field nobody filled then stops the letter instead of printing a gap.
 */
export function strictly<T extends object>(value: T, path = ''): T {
  return new Proxy(value, {
    get(target, name) {
      const found: unknown = Reflect.get(target, name);
      if (typeof name === 'symbol') return found;
      if (found === undefined && !(name in target)) {
        throw new RenderRefused(path + name, 'the letter has no such field');
      }
      const plain = typeof found === 'object' && found !== null;
      return plain ? strictly(found, `${path}${name}.`) : found;
    },
  });
}

/** What a template may print: words that are there. Anything else is refused, never spelled out. */
export function printable(value: unknown): string {
  if (typeof value === 'string') return value;
  if (typeof value === 'number' && Number.isFinite(value)) return String(value);
  throw new RenderRefused('template', `asked to print ${value === null ? 'null' : typeof value}`);
}
