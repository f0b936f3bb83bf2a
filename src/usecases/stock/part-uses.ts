import { usedParts } from '../../domain/faults/used-parts.ts';
import type { Part } from '../../domain/parts/kits.ts';
import { KITS, PARTS } from '../../domain/parts/kits.ts';
import type { PivotKind } from '../../domain/pivots/frame-patterns.ts';
import { notFound, Refused } from '../../domain/refusal.ts';
import { storeUses, usesOfVisit } from '../../store/stock/part-use-rows.ts';
import { findVisit } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import type { TopRecord } from '../own/top-records.ts';
import type { VisitRecord } from '../own/visit-records.ts';

/** What a visit took from the stock, part by part. */
export interface VisitPartsRecord {
  /** Whether anybody has said so; until then the pieces are what the work is likely to have taken. */
  readonly said: boolean;
  readonly items: readonly {
    readonly part: Part;
    readonly label: string;
    readonly pieces: number;
  }[];
}

/** What a visit took, or is likely to have taken. Every part is listed, most of them with none. */
export async function readVisitParts(
  context: Context,
  caller: Caller,
  { visit, top }: { readonly visit: VisitRecord; readonly top: TopRecord },
): Promise<VisitPartsRecord> {
  const uses = await usesOfVisit(context.store.sql, caller.organisationId, visit.id);
  const likely = usedParts(workOf(visit, top));
  const piecesOf = (part: Part) =>
    uses.length === 0
      ? (likely.get(part) ?? 0)
      : (uses.find((one) => one.part === part)?.pieces ?? 0);
  return {
    said: uses.length > 0,
    items: PARTS.map((part) => ({ part, label: KITS[part].label, pieces: piecesOf(part) })),
  };
}

/** Says what a visit took, in place of what was said before; the stock follows. */
export async function takeParts(
  context: Context,
  { organisationId }: Caller,
  visitId: string,
  pieces: Readonly<Partial<Record<Part, number>>>,
): Promise<void> {
  await context.store.write(async ({ records, sql }) => {
    const visit = await findVisit(records, organisationId, visitId);
    if (visit === null) throw notFound('visit');
    const { id, state, doneOn } = visit;
    if (state !== 'done' || doneOn === null) {
      const detail = 'Parts are taken by a visit that took place. Record the visit first.';
      throw new Refused({ kind: 'conflict', detail });
    }
    const uses = PARTS.flatMap((part) => {
      const taken = pieces[part] ?? 0;
      return taken === 0 ? [] : [{ part, pieces: taken }];
    });
    await storeUses(sql, { organisationId, id, doneOn }, uses);
  });
}

function workOf(visit: VisitRecord, top: TopRecord): Parameters<typeof usedParts>[0] {
  const kinds = new Map(top.pivots.map(({ code, kind }) => [code, kind as PivotKind]));
  const joint = (code: string | null) => {
    const kind = code === null ? undefined : kinds.get(code);
    return code === null || kind === undefined ? null : { code, kind };
  };
  return {
    material: top.cover.material,
    repaired: visit.readings.flatMap(({ pivot, repaired }) => {
      const at = repaired ? joint(pivot) : null;
      return at === null ? [] : [at];
    }),
    done: visit.findings
      .filter(({ outcome }) => outcome === 'done')
      .map(({ fault, pivot }) => ({ fault, pivot: joint(pivot) })),
  };
}
