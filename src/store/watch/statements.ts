import type { Work } from './watch.ts';
import { watched, WORK } from './watch.ts';

const MOST_CHARACTERS = 1_000;

/** A statement as it is told: lists of values as one, and no value that a text might hold. */
export function statementOf(system: string, text: string): Work {
  const plain = text
    .replaceAll(/'(?:[^']|'')*'/g, '?')
    .replaceAll(/\(\s*(?:\?|\$\d+)(?:\s*,\s*(?:\?|\$\d+))+\s*\)/g, '(?)')
    .replaceAll(/(\(\?\))(?:\s*,\s*\(\?\))+/g, '$1')
    .replaceAll(/\s+/g, ' ')
    .trim();
  const outer = outside(plain);
  const [verb = 'SQL'] =
    /\b(?:SELECT|INSERT|UPDATE|DELETE)\b/.exec(outer) ?? /^\w+/.exec(plain) ?? [];
  const table = tableIn(outer) ?? tableIn(plain) ?? '';
  return {
    kind: 'statement',
    name: `${verb} ${table}`.trim(),
    facts: {
      'db.system.name': system,
      'db.operation.name': verb,
      ...(table === '' ? {} : { 'db.collection.name': table }),
      'db.query.text': plain.slice(0, MOST_CHARACTERS),
    },
  };
}

/** A text without what stands in brackets, so that the statement itself is left of one that begins with others. */
function outside(text: string): string {
  for (let left = text; ;) {
    const less = left.replaceAll(/\([^()]*\)/g, '');
    if (less === left) return left;
    left = less;
  }
}

function tableIn(text: string): string | undefined {
  return /\b(?:FROM|INTO|UPDATE)\s+(?:[`"]?(?:main|public)[`"]?\.)?[`"]?(\w+)/.exec(text)?.[1];
}

/** Asks the database, and tells whoever watches which statement. */
export function told<T>(system: string, text: string, ask: () => T | Promise<T>): T | Promise<T> {
  if (!WORK.start.hasSubscribers) return ask();
  return watched(statementOf(system, text), async () => ask());
}

interface Asked {
  readonly sql: string;
}

/** The part of Prisma's connections that asks. */
interface Connection {
  queryRaw(query: Asked): Promise<unknown>;
  executeRaw(query: Asked): Promise<unknown>;
  startTransaction?(...options: never[]): Promise<Connection>;
}

/** Has a connection of Prisma's, and its transactions, tell of their statements too. */
export function tellingOf<T extends object>(system: string, connection: T): T {
  const asks = connection as T & Connection;
  const queryRaw = asks.queryRaw.bind(asks);
  const executeRaw = asks.executeRaw.bind(asks);
  const startTransaction = asks.startTransaction?.bind(asks);
  asks.queryRaw = async (query) => told(system, query.sql, () => queryRaw(query));
  asks.executeRaw = async (query) => told(system, query.sql, () => executeRaw(query));
  if (startTransaction !== undefined) {
    asks.startTransaction = async (...options) =>
      tellingOf(system, await startTransaction(...options));
  }
  return connection;
}
