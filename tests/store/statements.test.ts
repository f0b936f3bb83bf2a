import { describe, expect, it } from 'vitest';
import { asPostgresql } from '../../src/store/database/sql.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Store } from '../../src/store/database/store.ts';
import { bothDatabases } from '../setup/databases.ts';
import { statementTexts } from './statement-texts.ts';

/** What a database says against a text, by the place that it stands at; nothing is carried out. */
async function refusedBy(
  store: Store,
  statements: ReturnType<typeof statementTexts>,
): Promise<string[]> {
  const refused: string[] = [];
  for (const [n, { place, text }] of statements.entries()) {
    const asked =
      store.dialect === 'sqlite'
        ? store.sql.all(
            `EXPLAIN ${text}`,
            Array.from({ length: marksIn(text) }, () => null),
          )
        : store.sql.run(`PREPARE "tried_${n}" AS ${asPostgresql(text)}`);
    await asked.catch((fault: unknown) => {
      refused.push(`${place}: ${String(fault)}`);
    });
  }
  return refused;
}

const marksIn = (text: string): number => text.split('?').length - 1;

bothDatabases('every statement of the store', ({ dialect, fresh }) => {
  it('is one that the database takes', async () => {
    const store = await openStore(await fresh());
    try {
      const statements = statementTexts(dialect);
      expect(statements.length).toBeGreaterThan(200);
      expect(await refusedBy(store, statements)).toEqual([]);
    } finally {
      await store.close();
    }
  });

  it('would be refused with a column that is not there', async () => {
    const store = await openStore(await fresh());
    try {
      const refused = await refusedBy(store, [
        { place: 'planted', text: 'SELECT "lookedAtOnce" FROM "car" WHERE "id" = ?' },
        { place: 'sound', text: 'SELECT "lookAt" FROM "car" WHERE "id" = ?' },
      ]);
      expect(refused).toHaveLength(1);
      expect(refused[0]).toMatch(/^planted: .*lookedAtOnce/);
    } finally {
      await store.close();
    }
  });
});

describe('what a statement comes to', () => {
  it('is known for both databases, with other locks', () => {
    const locks = (dialect: 'sqlite' | 'postgresql') =>
      statementTexts(dialect).filter(({ text }) => text.includes('FOR UPDATE')).length;
    expect(locks('sqlite')).toBe(0);
    expect(locks('postgresql')).toBeGreaterThan(5);
  });
});
