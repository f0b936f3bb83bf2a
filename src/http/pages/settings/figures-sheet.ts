import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
import type { FigureRecord, RuleRecord } from '../../../usecases/rules/list-rules.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

interface FigureModel {
  readonly name: string;
  readonly value: string;
  readonly mark: string;
  readonly source: string;
  /** Null for a figure that stays as it was published, and for whoever may not change any. */
  readonly field: FieldModel | null;
}

export interface FiguresModel {
  readonly done: string;
  readonly wrong: FormModel;
  readonly version: string;
  readonly rules: readonly {
    readonly id: string;
    readonly name: string;
    readonly does: string;
    readonly open: boolean;
    readonly keeps: boolean;
    readonly own: number;
    readonly once: string;
    readonly figures: readonly FigureModel[];
  }[];
}

// What a private owner has nothing of: a bench, calls, members, a stock, other people's cars.
const OF_A_TRADE: readonly string[] = [
  'bench-load',
  'call-order',
  'care-day',
  'estimate',
  'fault-finding',
  'parts',
  'survival',
  'weibull',
];

/** Every figure that decides something, rule by rule. */
export function figuresSheet(
  rules: readonly RuleRecord[],
  version: number,
  view: {
    readonly kind: OrganisationKind;
    readonly keeps: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
  voice: Voice,
): [Frame, FiguresModel] {
  const { keeps, sent, once, kind } = view;
  const { say, tell } = voice;
  const seen = new Set<string>();
  const fields: FieldModel[] = [];
  const models = rules.flatMap(({ name, does, figures }) => {
    if (kind === 'private' && OF_A_TRADE.includes(name)) return [];
    const fresh = figures.filter((figure) => !seen.has(figure.name));
    for (const figure of fresh) seen.add(figure.name);
    if (fresh.length === 0) return [];
    const shown = fresh.map((figure) => figureModel(figure, keeps, sent, voice));
    const own = shown.flatMap(({ field: one }) => (one === null ? [] : [one]));
    fields.push(...own);
    return [
      {
        id: `rule-${name}`,
        name: tell(wordsOf(name)),
        does: tell(does),
        open: own.some((one) => one.fault !== '' || typedIn(sent, one.name) !== null),
        keeps: own.length > 0,
        own: fresh.filter((figure) => figure.own !== null).length,
        once: `${once}-${name}`,
        figures: shown,
      },
    ];
  });
  return [
    { lang: voice.language, title: say('figures.title'), nav: { here: 'settings' } },
    {
      done: view.done === 'changed' ? say('figures.done') : '',
      wrong: formOf('/settings/figures/try', once, sent, fields),
      version: typedIn(sent, 'version') ?? String(version),
      rules: models,
    },
  ];
}

function figureModel(
  figure: FigureRecord,
  keeps: boolean,
  sent: Sent | null,
  { say, tell }: Voice,
): FigureModel {
  const { name, value, mark, source, min, max, own } = figure;
  const label = tell(wordsOf(name.split('.').at(-1) ?? name));
  const unit = tell(figure.unit);
  const changes = keeps && min !== null && max !== null;
  return {
    name: label,
    value: `${tell(String(value))} ${unit}`,
    mark: tell(mark),
    source,
    field: changes
      ? field(sent, name, `${label}, ${unit}`, {
          id: name.replaceAll('.', '-'),
          value: own,
          mode: 'decimal',
          hint: say('figures.hint', {
            min: tell(String(min)),
            max: tell(String(max)),
            value: tell(String(value)),
          }),
        })
      : null,
  };
}

/** A name of the program as words: "faultFactor" as "fault factor". */
export function wordsOf(name: string): string {
  const words = name
    .replaceAll('-', ' ')
    .replaceAll(/([a-z])([A-Z0-9])/g, '$1 $2')
    .toLowerCase();
  return words.charAt(0).toUpperCase() + words.slice(1);
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly figures: FiguresModel;
  }
}
