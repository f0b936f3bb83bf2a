import type { PatternPivot } from '../../../domain/pivots/frame-patterns.ts';
import { PIVOT_KINDS } from '../../../domain/pivots/frame-patterns.ts';
import type { PatternRecord } from '../../../usecases/tops/frame-patterns.ts';
import type { MapSide } from '../../../views/pivot-map.ts';
import { pivotMap } from '../../../views/pivot-map.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, plainChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { MOST_JOINTS, pivotsIn } from './drawing.ts';

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
      words: `${pivots.length} joints, ${own ? 'your own drawing' : 'built in, its joints from memory'}`,
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
  readonly rows: readonly (readonly FieldModel[])[];
  readonly map: readonly MapSide[];
}

/** A frame that is being drawn; one that is there already is a beginning. */
export function patternSheet(
  begun: PatternRecord | null,
  once: string,
  sent: Sent | null,
): [Frame, PatternModel] {
  const name = field(sent, 'name', 'What you call this frame', {
    needed: true,
    value: begun?.own === true ? begun.name : null,
    hint: 'One that no top has yet can be put right under its name; else give the drawing a new one.',
  });
  const first = jointsOf(begun?.pivots ?? []);
  const rows = Array.from({ length: MOST_JOINTS }, (_, row) => rowFields(sent, row, first[row]));
  const drawn = sent === null ? (begun?.pivots ?? []) : drawable(sent);
  const model: PatternModel = {
    form: formOf('/patterns/draw', once, sent, [name, ...rows.flat()]),
    of: begun?.name ?? '',
    name,
    rows,
    map: mapOf(drawn),
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
  return [
    field(sent, at('name'), `Joint ${row + 1}: name`, { value: joint?.name }),
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
    field(sent, at('x'), 'Along, 0 to 100', { ...digits, value: joint?.x }),
    field(sent, at('y'), 'Down, 0 to 100', { ...digits, value: joint?.y }),
  ];
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
