import {
  insertPattern,
  ownPatternNamed,
  ownPatterns,
  redrawPattern,
  topsOfPattern,
} from '../../store/tops/pattern-rows.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import {
  FRAME_PATTERNS,
  framePatternNamed,
  pivotCodeProblem,
} from '../../domain/pivots/frame-patterns.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Records } from '../../store/database/store.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';

export interface PatternRecord {
  readonly name: string;
  readonly own: boolean;
  readonly pivots: PatternPivot[];
}

/** The built-in frame patterns and the organisation's own, by name. */
export async function listPatterns(context: Context, caller: Caller): Promise<PatternRecord[]> {
  const own = await ownPatterns(context.store.records, caller.organisationId);
  return [
    ...Object.entries(FRAME_PATTERNS).map(([name, { pivots }]) => ({
      name,
      own: false,
      pivots: [...pivots],
    })),
    ...own.map((row) => ({
      name: row.name,
      own: true,
      pivots: JSON.parse(row.pivots) as PatternPivot[],
    })),
  ];
}

/** The pivots of a pattern that this organisation can use; null when there is none of that name. */
export async function patternPivots(
  records: Records,
  caller: Caller,
  name: string,
): Promise<readonly PatternPivot[] | null> {
  const builtIn = framePatternNamed(name);
  if (builtIn !== undefined) return builtIn.pivots;
  const row = await ownPatternNamed(records, caller.organisationId, name);
  return row === null ? null : (JSON.parse(row.pivots) as PatternPivot[]);
}

/** Stores a frame pattern that the organisation has drawn itself. */
export async function drawPattern(
  context: Context,
  caller: Caller,
  pattern: { readonly name: string; readonly pivots: readonly PatternPivot[] },
): Promise<PatternRecord> {
  refuseFaultyPivots(pattern.pivots);
  const { name, pivots } = pattern;
  const row = {
    id: newId(),
    organisationId: caller.organisationId,
    name,
    pivots: JSON.stringify(pivots),
    createdAt: context.now(),
  };
  const drawn =
    framePatternNamed(name) === undefined &&
    (await context.store.writeSql((sql) => insertPattern(sql, row)));
  if (!drawn) {
    const detail = `There is a frame pattern "${name}" already. Choose another name.`;
    throw new Refused({ kind: 'conflict', detail, faults: [{ pointer: '#/name', detail }] });
  }
  return { name: pattern.name, own: true, pivots: [...pattern.pivots] };
}

/** Puts right an own pattern that no top has yet; tops keep the pivots that they were fitted with. */
export async function putPatternRight(
  context: Context,
  caller: Caller,
  { name, pivots }: { readonly name: string; readonly pivots: readonly PatternPivot[] },
): Promise<void> {
  refuseFaultyPivots(pivots);
  const { organisationId } = caller;
  const done = await context.store.writeSql((sql) =>
    redrawPattern(sql, organisationId, name, JSON.stringify(pivots)),
  );
  if (done) return;
  const tops = await topsOfPattern(context.store.sql, organisationId, name);
  if (tops === 0) throw new Refused({ kind: 'not-found', what: 'frame pattern' });
  const detail = `${tops === 1 ? 'A top has' : `${tops} tops have`} this frame: their history hangs on its joints. Keep the new drawing under another name.`;
  throw new Refused({ kind: 'conflict', detail, faults: [{ pointer: '#/name', detail }] });
}

function refuseFaultyPivots(pivots: readonly PatternPivot[]): void {
  const seen = new Set<string>();
  const faults = pivots.flatMap((pivot, i) => {
    const problem = pivotCodeProblem(pivot.code);
    const pointer = `#/pivots/${i}/code`;
    if (problem !== null) return [{ pointer, detail: problem }];
    if (seen.has(pivot.code)) return [{ pointer, detail: `${pivot.code} stands here twice.` }];
    seen.add(pivot.code);
    return pivot.code.startsWith(`${pivot.side}-`)
      ? []
      : [{ pointer: `#/pivots/${i}/side`, detail: `The code says the other side: ${pivot.code}.` }];
  });
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
}
