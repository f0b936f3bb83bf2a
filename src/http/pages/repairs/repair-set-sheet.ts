import { NOMINAL_MM, THREADS } from '../../../domain/hardware/iso-sizes.ts';
import type { Verdict } from '../../../domain/pivots/state.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { RepairSetRecord } from '../../../usecases/workshop/hardware-sheets.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { cautionLines } from '../frame/caution-words.ts';
import { jointWords } from '../frame/finding-words.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import type { HolePlot } from './hole-plot.ts';
import { holePlot } from './hole-plot.ts';
import { capital } from '../shop/day-lines.ts';

/** What was asked for, as it was understood. */
export interface RepairAsked {
  readonly diametersMm?: readonly [number, number] | undefined;
  readonly leafWidthMm?: number | undefined;
}

export interface RepairSetModel extends ShopStay {
  readonly registration: string;
  readonly topHref: string;
  readonly form: Pick<FormModel, 'action' | 'wrong'>;
  readonly joint: FieldModel;
  readonly measures: readonly FieldModel[];
  /** Null while what was asked for cannot be answered. */
  readonly set: {
    readonly heading: string;
    readonly verdict: Verdict | null;
    readonly hole: string;
    readonly drawing:
      | (HolePlot & { readonly told: string; readonly key: readonly string[] })
      | null;
    readonly items: readonly {
      readonly item: string;
      readonly quantity: string;
      readonly size: string;
      readonly known: string;
    }[];
    readonly steps: readonly string[];
    readonly parts: readonly {
      readonly label: string;
      readonly href: string;
      readonly quantity: string;
    }[];
  } | null;
  readonly cautions: readonly string[];
}

/** What the repair of one joint takes, sized from its hole, or that of the whole frame. */
export function repairSetSheet(
  { top, car, pivots }: TopPageRecord,
  set: RepairSetRecord | null,
  asked: RepairAsked,
  sent: Sent,
  voice: Voice,
): [Frame, RepairSetModel] {
  const { say } = voice;
  const joint = choice(sent, 'pivot', say('repair-set.joint'), [
    ['', say('repair-set.whole')],
    ...pivots.items.map(({ code }): [string, string] => [code, jointWords(voice, code)]),
  ]);
  const mm = (name: string, hint = '') =>
    field(sent, name, say(`repair-set.${name}`), { mode: 'decimal', hint });
  const measures = [
    choice(sent, 'thread', say('repair-set.thread'), [
      ['', say('repair-set.as-drawn')],
      ...THREADS.map((thread): [string, string] => [
        thread,
        say('repair-set.pin', { thread, mm: String(NOMINAL_MM[thread]) }),
      ]),
    ]),
    mm('across', say('repair-set.across.hint')),
    mm('square'),
    mm('leaf', say('repair-set.leaf.hint')),
  ];
  const action = `/tops/${top.id}/repair-set`;
  const model: RepairSetModel = {
    ...shopStay(car.registration, top.mayMove, voice),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    form: formOf(action, '', sent, [joint, ...measures]),
    joint,
    measures,
    set: set === null ? null : setModel(set, asked, voice),
    cautions: set === null ? [] : cautionLines(voice, set),
  };
  return [{ lang: voice.language, title: say('repair-set.title'), nav: { here: 'tops' } }, model];
}

function setModel(set: RepairSetRecord, asked: RepairAsked, voice: Voice) {
  const { say, tell, locale } = voice;
  const { pivot, hole } = set;
  return {
    heading: capital(pivot === null ? say('repair-set.whole') : jointWords(voice, pivot)),
    verdict: hole?.verdict ?? null,
    hole: hole === null ? '' : `${tell(hole.because)}.`,
    drawing: drawingOf(set, asked, voice),
    items: set.items.map(({ item, quantity, size, mark, source }) => ({
      item: tell(item),
      quantity: locale.number(quantity),
      size: tell(size),
      known: say('repair-set.known', { mark: tell(mark), source: tell(source) }),
    })),
    steps: set.steps.map((step) => tell(step)),
    parts: set.parts.map(({ part, label, quantity }) => ({
      label: tell(label),
      href: `/stock/${part}`,
      quantity: locale.number(quantity),
    })),
  };
}

function drawingOf(
  { thread, hole, holeRepair }: RepairSetRecord,
  { diametersMm, leafWidthMm }: RepairAsked,
  { say, locale }: Voice,
) {
  if (thread === null || hole === null || diametersMm === undefined) return null;
  const pinMm = NOMINAL_MM[thread];
  const mm = (value: number) => locale.number(value);
  const key = [
    say('repair-set.key.pin', { mm: mm(pinMm) }),
    say('repair-set.key.hole', { across: mm(diametersMm[0]), square: mm(diametersMm[1]) }),
    ...(holeRepair?.how === 'bush'
      ? [say('repair-set.key.bush', { mm: mm(holeRepair.outsideMm) })]
      : []),
    ...(leafWidthMm === undefined ? [] : [say('repair-set.key.leaf', { mm: mm(leafWidthMm) })]),
  ];
  return {
    ...holePlot({ diametersMm, leafWidthMm, pinMm, repair: holeRepair }),
    key,
    told: key.join('; '),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'repair-set': RepairSetModel;
  }
}
