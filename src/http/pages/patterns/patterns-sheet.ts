import type { PatternPivot } from '../../../domain/pivots/frame-patterns.ts';
import { PIVOT_KINDS } from '../../../domain/pivots/frame-patterns.ts';
import type { PatternRecord } from '../../../usecases/tops/frame-patterns.ts';
import type { MapSide } from '../../../views/pivot-map.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { pivotMap } from '../../../views/pivot-map.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import { jointWords } from '../frame/finding-words.ts';
import { type SpokenSide, spokenMap } from '../frame/map-words.ts';
import { patternInWords } from '../frame/pattern-words.ts';
import type { Frame } from '../frame/frame.ts';
import { MOST_JOINTS, pivotsIn, rowOfPivot } from './drawing.ts';

export interface PatternsModel {
  readonly done: string;
  readonly patterns: readonly {
    readonly name: string;
    readonly words: string;
    readonly href: string;
    readonly map: readonly SpokenSide[];
  }[];
}

/** The frames that tops can have, each as it is drawn. */
export function patternsSheet(
  patterns: readonly PatternRecord[],
  done: string | undefined,
  voice: Voice,
): [Frame, PatternsModel] {
  const { say, count } = voice;
  const model: PatternsModel = {
    done: done === 'drawn' ? say('patterns.done') : '',
    patterns: patterns.map(({ name, own, pivots }) => ({
      name: own ? name : patternInWords(name, voice.tell),
      words: count(own ? 'patterns.own' : 'patterns.built-in', pivots.length),
      href: `/patterns/draw?of=${encodeURIComponent(name)}`,
      map: spokenMap(mapOf(pivots), false, voice),
    })),
  };
  return [{ lang: voice.language, title: say('patterns.title'), nav: { here: 'settings' } }, model];
}

export interface PatternModel {
  readonly form: FormModel;
  readonly of: string;
  readonly name: FieldModel;
  /** The joints that are drawn and room for a few; then the rest of the room. */
  readonly rows: readonly JointRow[];
  readonly more: readonly JointRow[];
  readonly moreOpen: boolean;
  /** Some codes with what they are read out as. */
  readonly names: string;
  readonly map: readonly SpokenSide[];
}

/** One joint of the form; its number is that of its mark on the drawing. */
export interface JointRow {
  readonly number: number;
  /** What it is read out as: "left main pivot, right main pivot"; empty while it has no known name. */
  readonly called: string;
  readonly fields: readonly FieldModel[];
}

/** Names that stand for their kind wherever a joint is named. */
const EXAMPLES = [
  ['MAIN', 'main'],
  ['LINK', 'link'],
  ['KNUCKLE', 'knuckle'],
  ['STICK', 'stick'],
  ['LATCH', 'latch'],
] as const;

/** Rows without a joint that are open to be filled in. */
const SPARE_ROWS = 2;

/** A frame that is being drawn; one that is there already is a beginning. */
export function patternSheet(
  begun: PatternRecord | null,
  once: string,
  sent: Sent | null,
  voice: Voice,
): [Frame, PatternModel] {
  const { say, locale } = voice;
  const name = field(sent, 'name', say('pattern.name'), {
    needed: true,
    value: begun?.own === true ? begun.name : null,
    hint: say('pattern.name.hint'),
  });
  const first = jointsOf(begun?.pivots ?? []);
  const rows = Array.from({ length: MOST_JOINTS }, (_, row): JointRow => {
    const fields = rowFields(sent, row, first[row], voice);
    return { number: row + 1, called: calledIn(fields, voice), fields };
  });
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
    names: locale.list(
      EXAMPLES.map(([code, kind]) =>
        say('pattern.name-of', { code, words: say(`pattern.kind.${kind}`) }),
      ),
    ),
    map: spokenMap(
      sent === null ? numberedByJoint(begun?.pivots ?? [], first) : numberedByRow(sent),
      false,
      voice,
    ),
  };
  return [{ lang: voice.language, title: say('pattern.title'), nav: { here: 'settings' } }, model];
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

function rowFields(
  sent: Sent | null,
  row: number,
  joint: Joint | undefined,
  voice: Voice,
): FieldModel[] {
  const { say } = voice;
  const at = (part: string) => `joints/${row}/${part}`;
  const label = (part: string) => say(`pattern.joint.${part}`);
  const digits = { mode: 'numeric' };
  const sides = spokenChoices(voice, 'pattern.side', ['both', 'L', 'R']);
  const kinds = spokenChoices(voice, 'pattern.kind', PIVOT_KINDS);
  const fields = [
    field(sent, at('name'), label('name'), { value: joint?.name }),
    choice(sent, at('side'), label('side'), sides, { value: joint?.side ?? 'both' }),
    choice(sent, at('kind'), label('kind'), kinds, { value: joint?.kind ?? 'link' }),
    field(sent, at('washers'), label('washers'), { ...digits, value: joint?.washersExpected ?? 2 }),
    field(sent, at('x'), label('x'), { ...digits, value: joint?.x }),
    field(sent, at('y'), label('y'), { ...digits, value: joint?.y }),
  ];
  return fields.map((one) => ({
    ...one,
    called: say('pattern.field', { n: String(row + 1), field: one.called }),
  }));
}

function calledIn([name, side]: readonly FieldModel[], voice: Voice): string {
  const typed = (name?.value ?? '').trim().toUpperCase();
  if (typed === '') return '';
  const sides = side?.value === 'both' ? ['L', 'R'] : [side?.value ?? 'L'];
  const codes = sides.map((one) => `${one}-${typed}`);
  return codes.map((code) => jointWords(voice, code)).join(', ');
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
