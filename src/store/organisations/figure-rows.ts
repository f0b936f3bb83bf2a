import type { Organisation, ShopRuleChange } from '../generated/sqlite/client.ts';
import type { Sql } from '../database/sql.ts';
import { first, forShare, insertRows } from '../database/sql.ts';

/** The column in which an organisation keeps its own figures; undefined where there is no such one. */
export async function ownRulesOf(sql: Sql, organisationId: string): Promise<string | undefined> {
  return (await first<OwnRules>(sql, OWN_RULES, [organisationId]))?.ownRules;
}

/** The same, shared until the transaction ends: a change of the figures waits. SQLite has one writer. */
export async function holdOwnRules(sql: Sql, organisationId: string): Promise<string | undefined> {
  return (await first<OwnRules>(sql, `${OWN_RULES}${forShare(sql)}`, [organisationId]))?.ownRules;
}

type OwnRules = Pick<Organisation, 'ownRules'>;
const OWN_RULES = 'SELECT "ownRules" FROM "organisation" WHERE "id" = ?';

/** Stores an organisation's own figures with the version that they make, and each step to them. */
export async function storeOwnRules(
  sql: Sql,
  organisationId: string,
  { ownRules, version }: Pick<Organisation, 'ownRules' | 'version'>,
  steps: readonly ShopRuleChange[],
): Promise<void> {
  await sql.run('UPDATE "organisation" SET "ownRules" = ?, "version" = ? WHERE "id" = ?', [
    ownRules,
    version,
    organisationId,
  ]);
  await insertRows(sql, 'shop_rule_change', steps);
}

/** The changes of an organisation's figures behind an id, the oldest first. */
export function figureChangesAfter(
  sql: Sql,
  organisationId: string,
  { after, most }: { readonly after: string; readonly most: number },
): Promise<Omit<ShopRuleChange, 'organisationId'>[]> {
  return sql.all(
    'SELECT "id", "changedAt", "keyId", "figure", "was", "becomes", "version" FROM "shop_rule_change" WHERE "organisationId" = ? AND "id" > ? ORDER BY "id" LIMIT ?',
    [organisationId, after, most],
  );
}
