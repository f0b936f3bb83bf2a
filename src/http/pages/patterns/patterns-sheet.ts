import type { PatternPivot } from '../../../domain/pivots/frame-patterns.ts';
import { PIVOT_KINDS } from '../../../domain/pivots/frame-patterns.ts';
import type { PatternRecord } from '../../../usecases/tops/frame-patterns.ts';
import type { MapSide } from '../../../views/pivot-map.ts';
import { pivotMap } from '../../../views/pivot-map.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, plainChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { MOST_JOINTS, pivotsIn, rowOfPivot } from './drawing.ts';

export interface PatternsModel {
  readonly done: string;
  readonly patterns: readonly {
    readonly name: string;
    readonly words: string;
    readonly href: string;
    readonly map: readonly MapSide[];
  }[];
}

/** The frames that tops can have, each as it is drawn. */
export function patternsSheet(
  patterns: readonly PatternRecord[],
  done: string | undefined,
): [Frame, PatternsModel] {
  const model: PatternsModel = {
    done: done === 'drawn' ? 'Kept. It can be chosen for a new top from now on.' : '',
    patterns: patterns.map(({ name, own, pivots }) => ({
      name: own ? name : name.replaceAll('-', ' '),
      words: `${pivots.length} joints, ${own ? 'your own drawing' : 'built in, drawn from memory: compare it with the frame before you'}`,
      href: `/patterns/draw?of=${encodeURIComponent(name)}`,
      map: mapOf(pivots),
    })),
  };
  return [{ lang: 'en', title: 'Frames', nav: { here: 'settings' } }, model];
}

export interface PatternModel {
  readonly form: FormModel;
  readonly of: string;
  readonly name: FieldModel;
  /** The joints that are drawn and room for a few; then the rest of the room. */
  readonly rows: readonly JointRow[];
  readonly more: readonly JointRow[];
  readonly moreOpen: boolean;
  readonly map: readonly MapSide[];
}

/** One joint of the form; its number is that of its mark on the drawing. */
export interface JointRow {
  readonly number: number;
  readonly fields: readonly FieldModel[];
}

/** Rows without a joint that are open to be filled in. */
const SPARE_ROWS = 2;

/** A frame that is being drawn; one that is there already is a beginning. */
export function patternSheet(
  begun: PatternRecord | null,
  once: string,
  sent: Sent | null,
): [Frame, PatternModel] {
  const name = field(sent, 'name', 'What you call this frame', {
    needed: true,
    value: begun?.own === true ? begun.name : null,
    hint: 'Under the name of a drawing of yours that no top has yet, you put that one right. Any other drawing needs a name of its own.',
  });
  const first = jointsOf(begun?.pivots ?? []);
  const rows = Array.from({ length: MOST_JOINTS }, (_, row) => ({
    number: row + 1,
    fields: rowFields(sent, row, first[row]),
  }));
  const named = rows.filter(({ fields }) => fields[0]?.value.trim() !== '');
  const shown = (named.at(-1)?.number ?? 0) + SPARE_ROWS;
  const more = rows.slice(shown);
  const model: PatternModel = {
    form: formOf('/patterns/draw', once, sent, [name, ...rows.flatMap(({ fields }) => fields)]),
    of: begun?.name ?? '',
    name,
    rows: rows.slice(0, shown),
    more,
    moreOpen: more.some(({ fields }) => fields.some(({ fault }) => fault !== '')),
    map: sent === null ? numberedByJoint(begun?.pivots ?? [], first) : numberedByRow(sent),
  };
  return [{ lang: 'en', title: 'Draw a frame', nav: { here: 'settings' } }, model];
}

type Joint = Pick<PatternPivot, 'kind' | 'washersExpected' | 'x' | 'y'> & {
  readonly name: string;
  readonly side: 'both' | 'L' | 'R';
};

/** Pivots as rows of the form: what is alike on both sides is one. */
function jointsOf(pivots: readonly PatternPivot[]): Joint[] {
  const names = [...new Set(pivots.map(({ code }) => code.slice(2)))];
  return names.flatMap((name) => {
    const own = pivots.filter(({ code }) => code.slice(2) === name);
    const [one, other] = own;
    if (one === undefined) return [];
    const { kind, washersExpected, x, y } = one;
    return [{ name, kind, washersExpected, x, y, side: other === undefined ? one.side : 'both' }];
  });
}

function rowFields(sent: Sent | null, row: number, joint: Joint | undefined): FieldModel[] {
  const at = (part: string) => `joints/${row}/${part}`;
  const digits = { mode: 'numeric' };
  const fields = [
    field(sent, at('name'), 'Name', { value: joint?.name }),
    choice(
      sent,
      at('side'),
      'Side',
      [
        ['both', 'both sides'],
        ['L', 'left only'],
        ['R', 'right only'],
      ],
      { value: joint?.side ?? 'both' },
    ),
    choice(sent, at('kind'), 'Kind', plainChoices(PIVOT_KINDS), { value: joint?.kind ?? 'link' }),
    field(sent, at('washers'), 'Washers', { ...digits, value: joint?.washersExpected ?? 2 }),
    field(sent, at('x'), 'Along', { ...digits, value: joint?.x }),
    field(sent, at('y'), 'Down', { ...digits, value: joint?.y }),
  ];
  return fields.map((one) => ({ ...one, called: `Joint ${row + 1}, ${one.called.toLowerCase()}` }));
}

/** A drawing whose marks bear the numbers of the form's rows, the same on both sides. */
function numberedByJoint(pivots: readonly PatternPivot[], joints: readonly Joint[]): MapSide[] {
  const names = joints.map(({ name }) => name);
  return renumbered(mapOf(pivots), (nth) => names.indexOf(pivots[nth]?.code.slice(2) ?? ''));
}

function numberedByRow(sent: Sent): MapSide[] {
  return renumbered(mapOf(drawable(sent)), (nth) => rowOfPivot(sent.typed, nth));
}

/** `rowOf` tells the row, from 0, of the nth pivot, from 0. */
function renumbered(map: readonly MapSide[], rowOf: (nth: number) => number): MapSide[] {
  return map.map((side) => ({
    ...side,
    points: side.points.map((point) => ({ ...point, number: rowOf(point.number - 1) + 1 })),
  }));
}

/** What of a form can be drawn already, faults and all. */
function drawable({ typed }: Sent): PatternPivot[] {
  const inside = (value: number | string) =>
    typeof value === 'number' ? Math.min(100, Math.max(0, value)) : 50;
  return pivotsIn(typed).map(({ code, side, kind, x, y }) => ({
    code,
    side,
    kind: PIVOT_KINDS.find((known) => known === kind) ?? 'link',
    washersExpected: 0,
    pinMm: 8,
    x: inside(x),
    y: inside(y),
  }));
}

function mapOf(pivots: readonly PatternPivot[]): MapSide[] {
  return pivotMap(
    pivots.map(({ code, side, kind }) => ({ code, side, kind, verdict: 'unread' as const })),
    pivots,
  );
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly patterns: PatternsModel;
    readonly pattern: PatternModel;
  }
}
