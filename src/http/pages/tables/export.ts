import type { FastifyInstance, FastifyReply } from 'fastify';
import { hasRight } from '../../../domain/people/rights.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import {
  EXPORT_TABLES,
  tableAsCsv,
  tablesAsWorkbook,
  wholeDocument,
} from '../../../usecases/tables/export-tables.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { isOwnForm, signedIn } from '../shop/session.ts';
import { refuseForm, refuseRight, renderFor, showPage } from '../shop/shop-page.ts';
import { fieldsOf } from '../frame/small-form.ts';

export interface ExportModel {
  readonly tables: readonly {
    readonly name: string;
    readonly called: string;
    readonly words: string;
  }[];
  /** Whether the complete document can be had here. */
  readonly whole: boolean;
  /** A club takes out what its members show it. */
  readonly club: boolean;
}

/** Takes records out: tables for a spreadsheet, or the complete document. It is noted who did. */
export function exportPages(
  app: FastifyInstance,
  context: Context,
  databaseUrl: string | null,
): void {
  const sheet = (caller: Visitor, { language, say }: Voice): string => {
    const frame: Frame = {
      lang: language,
      title: say('export.title'),
      nav: { here: 'settings' },
    };
    const tables = EXPORT_TABLES.map((name) => ({
      name,
      called: say(`export.table.${name}`),
      words: say(`export.words.${name}`),
    }));
    const club = caller.kind === 'club';
    return renderFor(caller, 'export', frame, { tables, whole: databaseUrl !== null, club });
  };
  showPage(
    app,
    context,
    '/export',
    async ({ caller, voice }) => sheet(caller, voice),
    'keep-people',
  );
  app.post('/export', { schema: { hide: true }, bodyLimit: 1024 }, async (request, reply) => {
    if (!isOwnForm(request, context)) return refuseForm(request, reply, 403, 'form.foreign');
    const caller = await signedIn(request, context);
    if (caller === null) return reply.redirect('/sign-in', 303);
    if (!hasRight(caller, 'keep-people')) return refuseRight(request, reply, caller);
    const { what = '', separator } = fieldsOf(request.body);
    if (what === 'workbook') {
      return send(reply, await tablesAsWorkbook(context, caller), XLSX, 'foldkeep.xlsx');
    }
    if (what === 'document' && databaseUrl !== null) {
      const pieces = await wholeDocument(context, caller, databaseUrl);
      return send(reply, pieces, 'application/json; charset=utf-8', 'foldkeep.json');
    }
    const table = EXPORT_TABLES.find((one) => one === what);
    if (table === undefined) return refuseForm(request, reply, 400, 'export.choose');
    const text = await tableAsCsv(context, caller, table, separator === ';' ? ';' : ',');
    return send(reply, text, 'text/csv; charset=utf-8', `foldkeep-${table}.csv`);
  });
}

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

function send(reply: FastifyReply, body: unknown, type: string, name: string): FastifyReply {
  return reply
    .header('content-type', type)
    .header('content-disposition', `attachment; filename="${name}"`)
    .header('cache-control', 'no-store')
    .header('x-content-type-options', 'nosniff')
    .send(body);
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly export: ExportModel;
  }
}
