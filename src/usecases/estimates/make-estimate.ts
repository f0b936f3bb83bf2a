import { dayIn } from '../../domain/calendar/zone.ts';
import type { DraftLine } from '../../domain/estimates/draft.ts';
import { draftLines, workWordsIn } from '../../domain/estimates/draft.ts';
import type { LineKind } from '../../domain/estimates/estimate.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { EstimateRow, LineRow } from '../../store/estimates/estimate-rows.ts';
import {
  findEstimate,
  insertEstimate,
  linesOf,
  nextNumber,
  replaceLines,
  storeEstimate,
} from '../../store/estimates/estimate-rows.ts';
import { pricesOf } from '../../store/stock/price-rows.ts';
import { stockOf } from '../../store/stock/stock-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { speakerOf } from '../../views/letters/sheet.ts';
import { jointInWords } from '../../views/letters/stay.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { requireVersion } from '../context/version.ts';
import { ownCar } from '../own/car-records.ts';
import { ownOwner, refuseWithoutOwner } from '../own/owner-records.ts';
import { readOpenWork } from '../workshop/open-work.ts';
import type { EstimateRecord } from './estimate-records.ts';
import { estimateRecord } from './estimate-records.ts';

/**
 * Makes a draft of an estimate from the work that is open on a car, in the organisation's own prices.
 * Nobody is written to. Refused until it has said what an hour costs, where no work is open, and where the
 * owner was erased.
 */
export async function makeEstimate(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<EstimateRecord> {
  const { organisationId } = caller;
  const { top, plan, findings } = await readOpenWork(context, caller, carId);
  await refuseWithoutOwner(context.store.sql, carId);
  const { ownerId, timeZone } = await ownCar(context.store.records, caller, carId);
  if (top === null || plan.steps.length + findings.length === 0) {
    throw conflict('No work is open on this car, so there is nothing to work out.');
  }
  const { language } = await ownOwner(context.store.records, caller, ownerId);
  const speaker = speakerOf(language);
  const id = newId();
  await context.store.writeSql(async (sql) => {
    const prices = await pricesOf(sql, organisationId, true);
    if (prices === null || prices.hourRate === null) {
      throw conflict('Say first what an hour at the bench costs: Settings, Prices.');
    }
    const stock = new Map((await stockOf(sql, organisationId)).map((one) => [one.part, one]));
    const own = {
      hourRate: prices.hourRate,
      priceOf: (part: Part) => stock.get(part)?.unitPrice ?? null,
    };
    const lines = draftLines(plan, findings, own, {
      joint: (code) => jointInWords(code, speaker),
      coverOff: speaker.say('estimate.coverOff'),
      ...workWordsIn(language),
    });
    const row: EstimateRow = {
      id,
      organisationId,
      number: await nextNumber(sql, organisationId),
      carId,
      topId: top.id,
      ownerId,
      state: 'draft',
      currency: prices.currency,
      taxRate: prices.taxRate,
      taxName: prices.taxName,
      words: null,
      madeOn: dayIn(timeZone, context.now()),
      sentAt: null,
      holdsUntil: null,
      answeredAt: null,
      replaces: null,
      version: 1,
    };
    await insertEstimate(sql, row, rowsOf(row, lines));
  });
  return estimateRecord(context.store.sql, caller, id);
}

/** A piece of work as it was typed, its parts behind it. */
export interface TypedWork {
  /** The line that it was; absent for work that was added by hand. */
  readonly id?: string | undefined;
  readonly text: string;
  readonly hours: number;
  readonly rate: number | null;
  readonly parts: readonly {
    readonly id?: string | undefined;
    readonly text: string;
    readonly pieces: number;
    readonly price: number | null;
  }[];
}

export interface EstimateChange {
  readonly words: string | null;
  readonly works: readonly TypedWork[];
  /** Null leaves it as it is; the cover comes off as long as some work of the draft asks for that. */
  readonly coverOff: { readonly hours: number; readonly rate: number | null } | null;
}

/** Puts a draft right: its lines become those handed in. What was sent is changed by a new draft. */
export async function changeEstimate(
  context: Context,
  caller: Caller,
  id: string,
  { words, works, coverOff }: EstimateChange,
  version: number | '*' | null,
): Promise<EstimateRecord> {
  if (works.length === 0) throw invalid('#/works', 'An estimate needs some work. Keep a line.');
  await context.store.writeSql(async (sql) => {
    const row = await heldDraft(sql, caller, id, version);
    const before = await linesOf(sql, [id]);
    const known = new Map(before.map((line) => [line.id, line]));
    const lines = works.flatMap((work, i): DraftLine[] => {
      const was = lineBefore(known, work.id);
      return [
        {
          ...was,
          kind: 'work',
          work: i + 1,
          text: work.text,
          quantity: work.hours,
          unitPrice: work.rate,
        },
        ...work.parts.map((part): DraftLine => ({
          ...lineBefore(known, part.id),
          kind: 'part',
          work: i + 1,
          text: part.text,
          quantity: part.pieces,
          unitPrice: part.price,
        })),
      ];
    });
    const cover = before.find(({ kind }) => kind === 'cover-off');
    const stripping =
      cover === undefined || !lines.some(({ strips }) => strips)
        ? []
        : [
            {
              ...lineBefore(known, cover.id),
              kind: 'cover-off' as LineKind,
              work: 0,
              text: cover.text,
              quantity: coverOff?.hours ?? cover.quantity,
              unitPrice: coverOff === null ? cover.unitPrice : coverOff.rate,
            },
          ];
    await replaceLines(sql, id, rowsOf(row, [...stripping, ...lines]));
    await storeEstimate(sql, { ...row, words });
  });
  return estimateRecord(context.store.sql, caller, id);
}

/** A new draft with the lines of an estimate that was sent; sending it takes the other's place. */
export async function redraftEstimate(
  context: Context,
  caller: Caller,
  id: string,
): Promise<EstimateRecord> {
  const freshId = newId();
  await context.store.writeSql(async (sql) => {
    const row = await findEstimate(sql, caller.organisationId, id);
    if (row === null) throw notFound('estimate');
    if (row.state === 'draft')
      throw conflict('This one has not been sent: change it as it stands.');
    await refuseWithoutOwner(sql, row.carId);
    await pricesOf(sql, caller.organisationId, true);
    const fresh: EstimateRow = {
      ...row,
      id: freshId,
      number: await nextNumber(sql, caller.organisationId),
      state: 'draft',
      madeOn: context.now().slice(0, 10),
      sentAt: null,
      holdsUntil: null,
      answeredAt: null,
      replaces: id,
      version: 1,
    };
    const lines = (await linesOf(sql, [id])).map((line) => ({
      ...line,
      id: newId(),
      estimateId: freshId,
      answer: null,
    }));
    await insertEstimate(sql, fresh, lines);
  });
  return estimateRecord(context.store.sql, caller, freshId);
}

/** A draft at the version that whoever changes it has read. */
export async function heldDraft(
  sql: Sql,
  { organisationId }: Caller,
  id: string,
  version: number | '*' | null,
): Promise<EstimateRow> {
  const row = await findEstimate(sql, organisationId, id, true);
  if (row === null) throw notFound('estimate');
  requireVersion(version, row.version);
  if (row.state !== 'draft') {
    throw conflict('This estimate has left as it is. Make a new one from it to change it.');
  }
  return row;
}

function conflict(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}

type Kept = Omit<DraftLine, 'kind' | 'work' | 'text' | 'quantity' | 'unitPrice'>;

/** What a line keeps however its words and numbers are changed: what it is for. */
function lineBefore(known: ReadonlyMap<string, LineRow>, id: string | undefined): Kept {
  const line = known.get(id ?? '');
  if (line === undefined)
    return { fault: null, pivots: [], findings: [], part: null, strips: false };
  return {
    fault: line.fault,
    pivots: JSON.parse(line.pivots) as string[],
    findings: JSON.parse(line.findings) as string[],
    part: line.part as Kept['part'],
    strips: line.strips,
  };
}

function rowsOf(
  { organisationId, id: estimateId }: Pick<EstimateRow, 'organisationId' | 'id'>,
  lines: readonly DraftLine[],
): LineRow[] {
  return lines.map((line, place) => ({
    ...line,
    id: newId(),
    organisationId,
    estimateId,
    place,
    pivots: JSON.stringify(line.pivots),
    findings: JSON.stringify(line.findings),
    answer: null,
  }));
}
