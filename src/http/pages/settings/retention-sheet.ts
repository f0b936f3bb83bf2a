import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
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

/** What each figure is about, in the words of the organisation. */
export const RETENTION_WORDS: Readonly<
  Record<string, { readonly name: string; readonly words: string }>
> = {
  positionLogMonths: {
    name: 'Position log',
    words:
      'Entries of folded and raised. What the present state follows from stays, however old: each clock goes on as it was.',
  },
  letterBodyMonths: {
    name: 'Words of letters',
    words:
      'What letters said, of those that left or were cancelled. That a letter went, to whom and about what, stays.',
  },
  pastCareMonths: {
    name: 'Visits of cars that are out of care',
    words:
      'Visits with readings and findings, of cars whose owner was erased or whose tops are all retired, since nothing was done. Chances and lives of washers are worked out without them afterwards.',
  },
  signInLogMonths: {
    name: 'Sign-in log',
    words: 'Who signed in and which tries failed.',
  },
  trailMonths: {
    name: 'Trail of changes',
    words:
      'Who changed what and what stood before. That a car changed hands stays, since it says whose its records are.',
  },
};

/** How long records are kept, kind by kind, and what would go by it now. */
export function retentionSheet(
  facts: readonly RetentionFacts[],
  looking: {
    readonly keeps: boolean;
    readonly version: number;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly privacy: string;
  },
): [Frame, RetentionModel] {
  const { sent, once, keeps, version, privacy } = looking;
  const fields = facts.map(({ name, own, months, most }) =>
    field(sent, name, `${wordsFor(name).name}: months`, {
      value: own,
      mode: 'numeric',
      hint: `0 to ${most}; 0 keeps them, empty means the shop rule${own === null ? ` (${months})` : ''}`,
    }),
  );
  return [
    { lang: 'en', title: 'How long things are kept', nav: { here: 'settings' } },
    {
      done:
        looking.done === 'changed' ? 'Kept. What is too old goes within the hour, in steps.' : '',
      kinds: facts.map(({ name, months, own, wouldGo }) => ({
        ...wordsFor(name),
        kept: `${months === 0 ? 'kept until erased' : `kept ${months} months`} (${own === null ? 'shop rule' : 'your own figure'})`,
        wouldGo: wouldGo === 0 ? 'Nothing would go now.' : `${wouldGo} would go now.`,
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

function wordsFor(name: string) {
  return RETENTION_WORDS[name] ?? { name, words: '' };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly retention: RetentionModel;
  }
}
