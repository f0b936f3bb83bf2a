// A process that opens a database, which brings it up to date, and kills itself before the statement of
// which it is told the number. With 0 it counts the statements and ends well.
import { createRequire } from 'node:module';

const [, , root, databaseUrl, place] = process.argv;
const require = createRequire(`${root}/package.json`);
/** The module that the program itself would import. */
const from = (name) => import.meta.resolve(name);
const last = Number(place);
let begun = 0;

function beginStatement(text) {
  // They belong to the connection and go with it.
  if (String(text).startsWith('CREATE TEMP TRIGGER')) return;
  begun += 1;
  if (begun === last) process.kill(process.pid, 'SIGKILL');
}

/** SQLite tells of each statement before it runs it, of those in one script too. */
async function countSqlite() {
  const Database = require('better-sqlite3');
  const { PrismaBetterSqlite3 } = await import(from('@prisma/adapter-better-sqlite3'));
  const { connect } = PrismaBetterSqlite3.prototype;
  PrismaBetterSqlite3.prototype.connect = async function () {
    const connection = await connect.call(this);
    const { name } = connection.client;
    connection.client.close();
    connection.client = new Database(name, { verbose: beginStatement });
    connection.client.defaultSafeIntegers(true);
    return connection;
  };
}

/** A script is sent statement by statement: in the one transaction of a start that changes nothing else. */
async function countPostgresql() {
  const { default: pg } = await import(from('pg'));
  const { Client } = pg;
  const { query } = Client.prototype;
  Client.prototype.query = async function (text, values, ...more) {
    const script = typeof text === 'string' && values === undefined && !text.includes('$$');
    const parts = script ? text.split(/;[ \t]*\n/).filter((part) => /^\s*[A-Z]/m.test(part)) : [];
    if (parts.length < 2) {
      beginStatement(text);
      return query.call(this, text, values, ...more);
    }
    for (const part of parts) {
      beginStatement(part);
      await query.call(this, part);
    }
    return undefined;
  };
}

if (databaseUrl.startsWith('file:')) await countSqlite();
else await countPostgresql();
const { openStore } = await import(
  new URL('store/database/open-store.js', `file://${root}/dist/`).href
);
const store = await openStore(databaseUrl);
const statements = begun;
await store.close();
process.stdout.write(String(statements), () => process.exit(0));
