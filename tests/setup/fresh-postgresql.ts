import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { neededTemplates } from './templates-in-use.ts';

/** The address of a new database on the run's PostgreSQL: up to date and without rows, or without tables too. */
export async function freshPostgresql(
  content: 'up-to-date' | 'nothing' = 'up-to-date',
): Promise<string> {
  const url = new URL(neededTemplates().postgresqlUrl);
  const template = content === 'nothing' ? 'template1' : nameIn(url);
  url.pathname = `records_${randomUUID()}`;
  await administer([`CREATE DATABASE "${nameIn(url)}" TEMPLATE "${template}"`]);
  return url.href;
}

/** Removes databases, whoever is connected to them. */
export async function dropPostgresql(urls: readonly string[]): Promise<void> {
  await administer(urls.map((url) => `DROP DATABASE "${nameIn(new URL(url))}" WITH (FORCE)`));
}

function nameIn(url: URL): string {
  return url.pathname.slice(1);
}

async function administer(statements: readonly string[]): Promise<void> {
  if (statements.length === 0) return;
  const url = new URL(neededTemplates().postgresqlUrl);
  url.pathname = 'postgres';
  const client = new pg.Client({ connectionString: url.href });
  await client.connect();
  try {
    for (const statement of statements) await client.query(statement);
  } finally {
    await client.end();
  }
}
