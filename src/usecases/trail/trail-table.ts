import type { TrailSubject } from '../../store/trail/trail-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { Page } from '../context/paging.ts';
import { tableText } from '../records/table-text.ts';
import type { TrailRecord } from './read-trail.ts';
import { readPeopleTrail, readTrail } from './read-trail.ts';

const ENTRIES_AT_ONCE = 500;
const HEAD = ['at', 'author', 'name', 'kind', 'record', 'of', 'action', 'column', 'was', 'becomes'];

/** The trail as a table for a spreadsheet, a changed column a line, the newest first, in pieces. */
export async function* trailTable(
  context: Context,
  caller: Caller,
  subject: TrailSubject | 'organisation',
): AsyncGenerator<string> {
  yield `\uFEFF${tableText([HEAD], ',')}`;
  let after: string | undefined;
  do {
    const part = { limit: ENTRIES_AT_ONCE, after };
    const page: Page<TrailRecord> =
      subject === 'organisation'
        ? await readPeopleTrail(context, caller, part)
        : await readTrail(context, caller, { ...subject, ...part });
    if (page.items.length > 0) yield tableText(page.items.flatMap(linesOf), ',');
    after = page.next ?? undefined;
  } while (after !== undefined);
}

function linesOf({
  at,
  author,
  authorName,
  kind,
  recordId,
  of,
  action,
  was,
  becomes,
}: TrailRecord): string[][] {
  const head = [at, author, authorName, kind, recordId, of, action];
  const columns = Object.keys(was ?? {});
  if (columns.length === 0) return [[...head, '', '', '']];
  return columns.map((column) => [
    ...head,
    column,
    textOf(was?.[column]),
    textOf(becomes?.[column]),
  ]);
}

function textOf(value: unknown): string {
  if (value === null || value === undefined) return '';
  return typeof value === 'string' ? value : JSON.stringify(value);
}
