import { expect, test } from 'vitest';
import { claimLetters } from '../../src/store/letters/delivery-rows.ts';
import type { Sql, SqlCarried } from '../../src/store/database/sql.ts';
import { bothDatabases } from '../setup/databases.ts';
import { NOON, emptyPostOffice } from './post-office.ts';

const QUEUED = 20_000;

/** What a statement asks of the database, without asking it. */
async function asked(dialect: Sql['dialect'], work: (sql: Sql) => Promise<unknown>) {
  const statements: { text: string; values: readonly SqlCarried[] }[] = [];
  const note = (text: string, values: readonly SqlCarried[] = []) =>
    statements.push({ text, values });
  await work({
    dialect,
    all: (text, values) => (note(text, values), Promise.resolve([])),
    run: (text, values) => (note(text, values), Promise.resolve(0)),
  });
  return statements;
}

bothDatabases('the claim from a long queue', (databases) => {
  test('takes the first by the index, and sorts or reads through nothing', async () => {
    const office = await emptyPostOffice(databases.dialect);
    await office.household('ada@example.net');
    await office.round();
    const copied = `"organisationId", "ownerId", "kind", "state", "language", "toName", "toAddress", "addressHash", "topic", "subject", "messageDate", "plannedAt", "notBefore", "nextTryAt"`;
    await office.store.writeSql(async (sql) => {
      await sql.run(
        `INSERT INTO "letter" ("id", "messageId", ${copied}) WITH RECURSIVE "n"("i") AS (SELECT 1 UNION ALL SELECT "i" + 1 FROM "n" WHERE "i" < ${QUEUED}) SELECT 'copy-' || "i", 'copy-' || "i", ${copied} FROM "letter", "n"`,
      );
      await sql.run('ANALYZE');
    });
    const claim = {
      at: NOON,
      leaseUntil: '2026-06-12T11:15:00.000Z',
      token: 'ours',
      limit: 25,
      organisationId: null,
      holder: null,
    };
    const { dialect } = databases;
    const statements = [
      ...(await asked(dialect, (sql) => claimLetters(sql, 'planned', claim))),
      ...(await asked(dialect, (sql) => claimLetters(sql, 'unknown', claim))),
    ];
    expect(statements).toHaveLength(2);
    for (const { text, values } of statements) {
      const plan = await office.store.sql.all<Record<string, unknown>>(
        `EXPLAIN ${dialect === 'sqlite' ? 'QUERY PLAN ' : ''}${text}`,
        values,
      );
      const words = plan.map((row) => String(row['detail'] ?? row['QUERY PLAN'])).join('\n');
      expect(words).toContain('letter_state_nextTryAt_idx');
      expect(words).not.toMatch(/TEMP B-TREE|Sort|SCAN letter|Seq Scan on letter/);
    }
    const claimed = await office.store.writeSql((sql) => claimLetters(sql, 'planned', claim));
    expect(claimed).toHaveLength(25);
    await office.close();
  });
});
