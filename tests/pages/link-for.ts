import type { LinkPurpose } from '../../src/usecases/context/links.ts';
import { newLink } from '../../src/usecases/context/links.ts';
import { storeLinks } from '../../src/store/letters/link-rows.ts';
import type { Workshop } from '../setup/workshop.ts';

/** A fresh link of an owner, as its path on the server. */
export async function linkFor(
  shop: Workshop,
  ownerId: string,
  purpose: LinkPurpose,
  subject: string | null = null,
): Promise<string> {
  const { context } = shop;
  const { organisationId } = await context.store.records.owner.findUniqueOrThrow({
    where: { id: ownerId },
  });
  const whose = { organisationId, ownerId, carId: null, subject, purpose };
  const { url, row } = newLink(context.publicUrl, context.now(), whose);
  await context.store.writeSql((sql) => storeLinks(sql, [row]));
  return url.slice(context.publicUrl.length);
}

/** Calls a page as a browser does: no key, forms url-encoded. */
export async function browse(
  shop: Workshop,
  method: 'GET' | 'HEAD' | 'POST',
  url: string,
  form?: Record<string, string>,
  headers: Record<string, string> = {},
) {
  const response = await shop.server.inject({
    method,
    url,
    headers: {
      ...(form === undefined ? {} : { 'content-type': 'application/x-www-form-urlencoded' }),
      ...headers,
    },
    ...(form === undefined ? {} : { payload: new URLSearchParams(form).toString() }),
  });
  return { status: response.statusCode, html: response.body, headers: response.headers };
}

/** Every row of every table, to see that nothing at all was changed. */
export async function wholeDatabase(shop: Workshop): Promise<string> {
  const { sql } = shop.context.store;
  const tables = await sql.all<{ name: string }>(
    `SELECT "name" FROM "sqlite_master" WHERE "type" = 'table' AND "name" NOT LIKE '%\\_kept' ESCAPE '\\' ORDER BY "name"`,
  );
  const rows = [];
  for (const { name } of tables) rows.push([name, await sql.all(`SELECT * FROM "${name}"`)]);
  return JSON.stringify(rows);
}
