import { AsyncLocalStorage } from 'node:async_hooks';
import { Mutex } from 'async-mutex';
import type { Store, Writing } from './store.ts';

interface Joined {
  readonly tx: Writing;
  /** Of writes asked for side by side inside one transaction, each has its own savepoint in turn. */
  readonly turns: Mutex;
}

/**
 * Adds `together` to a store. While its work runs, whatever is read or written through this store in
 * the same chain of calls goes through the one open transaction; each write inside is a savepoint, so
 * that one which fails is undone by itself and its caller may go on.
 */
export function withTogether(base: Omit<Store, 'together'>): Store {
  const current = new AsyncLocalStorage<Joined>();
  const inside = <T>(
    work: (tx: Writing) => Promise<T>,
    alone: (work: (tx: Writing) => Promise<T>) => Promise<T>,
  ): Promise<T> => {
    const joined = current.getStore();
    return joined === undefined
      ? alone(work)
      : joined.turns.runExclusive(() => underSavepoint(joined.tx, work));
  };
  return {
    dialect: base.dialect,
    get records() {
      return current.getStore()?.tx.records ?? base.records;
    },
    get sql() {
      return current.getStore()?.tx.sql ?? base.sql;
    },
    write: (work) => inside(work, (whole) => base.write(whole)),
    writeSql: (work) =>
      current.getStore() === undefined
        ? base.writeSql(work)
        : inside(
            ({ sql }) => work(sql),
            (whole) => base.write(whole),
          ),
    together: (work) =>
      inside(
        (tx) => current.run({ tx, turns: new Mutex() }, () => work()),
        (whole) => base.write(whole),
      ),
    backupTo: (file) => base.backupTo(file),
    probe: () => base.probe(),
    close: () => base.close(),
  };
}

async function underSavepoint<T>(tx: Writing, work: (tx: Writing) => Promise<T>): Promise<T> {
  await tx.sql.run('SAVEPOINT "inner_write"');
  try {
    const result = await work(tx);
    await tx.sql.run('RELEASE SAVEPOINT "inner_write"');
    return result;
  } catch (fault) {
    await tx.sql.run('ROLLBACK TO SAVEPOINT "inner_write"');
    await tx.sql.run('RELEASE SAVEPOINT "inner_write"');
    throw fault;
  }
}
