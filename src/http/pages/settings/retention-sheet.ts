import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

/** A kind of record with how long it is kept, and what would go now. */
interface RetentionFacts {
  readonly name: string;
  readonly months: number;
  readonly own: number | null;
  readonly most: number;
  readonly wouldGo: number;
}

export interface RetentionModel {
  readonly done: string;
  readonly kinds: readonly {
    readonly name: string;
    readonly words: string;
    readonly kept: string;
    readonly wouldGo: string;
  }[];
  /** Null for whoever may not change it. */
  readonly form:
    | (FormModel & { readonly version: string; readonly fields: readonly FieldModel[] })
    | null;
  readonly privacy: string;
}

/** How long records are kept, kind by kind, and what would go by it now. */
export function retentionSheet(
  facts: readonly RetentionFacts[],
  view: {
    readonly keeps: boolean;
    readonly version: number;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly privacy: string;
  },
  voice: Voice,
): [Frame, RetentionModel] {
  const { sent, once, keeps, version, privacy } = view;
  const { say } = voice;
  const fields = facts.map(({ name, own, months, most }) => {
    const bounds = { most: String(most), months: String(months) };
    return field(sent, name, say('retention.months', { name: say(`retention.kind.${name}`) }), {
      value: own,
      mode: 'numeric',
      hint: own === null ? say('retention.hint.rule', bounds) : say('retention.hint', bounds),
    });
  });
  return [
    { lang: voice.language, title: say('retention.title'), nav: { here: 'settings' } },
    {
      done: view.done === 'changed' ? say('retention.done') : '',
      kinds: facts.map((one) => ({
        name: say(`retention.kind.${one.name}`),
        words: say(`retention.words.${one.name}`),
        kept: keptWords(one, voice),
        wouldGo:
          one.wouldGo === 0
            ? say('retention.go.none')
            : say('retention.go', { n: String(one.wouldGo) }),
      })),
      form: keeps
        ? {
            ...formOf('/settings/retention', once, sent, fields),
            version: typedIn(sent, 'version') ?? String(version),
            fields,
          }
        : null,
      privacy,
    },
  ];
}

function keptWords({ months, own }: RetentionFacts, { say }: Voice): string {
  const whose = own === null ? say('retention.whose.rule') : say('retention.whose.own');
  return months === 0
    ? say('retention.kept.always', { whose })
    : say('retention.kept', { months: String(months), whose });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly retention: RetentionModel;
  }
}
