import { voiceFor } from '../../../views/words/voice.ts';
import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import { LETTER_KINDS } from '../../../domain/round/letter-kind.ts';
import type { WordingRecord } from '../../../usecases/organisations/letter-wording.ts';
import type { RecordsPreview } from '../../../usecases/organisations/preview-records.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { kindWords } from './letter-words.ts';

export interface LetterKindsModel {
  readonly kinds: readonly { readonly href: string; readonly words: string }[];
}

export interface LetterKindModel {
  readonly words: string;
  readonly done: string;
  /** The words on the page that are only tried; empty where what is kept is shown. */
  readonly tried: string;
  readonly about: string;
  readonly subject: string;
  readonly html: string;
  readonly text: string;
  readonly languages: readonly {
    readonly href: string;
    readonly words: string;
    readonly chosen: boolean;
  }[];
  readonly cars: readonly {
    readonly id: string;
    readonly registration: string;
    readonly chosen: boolean;
  }[];
  readonly language: string;
  readonly path: string;
  /** Null for whoever may not change the wording. */
  readonly form:
    | (FormModel & {
        readonly fields: readonly { readonly field: FieldModel; readonly standard: string }[];
      })
    | null;
}

const LANGUAGE_WORDS: Readonly<Record<string, string>> = { en: 'English', de: 'German' };

export const SLOT_WORDS: Readonly<Record<string, string>> = {
  subject: 'Subject',
  preheader: 'Beside the subject, before it is opened',
  heading: 'Heading',
  lead: 'First words',
  why: 'Why',
  closing: 'Closing',
};

/** Every kind of letter that may be looked at, in words. */
export function letterKindsSheet(): [Frame, LetterKindsModel] {
  const capital = (words: string) => `${words.slice(0, 1).toUpperCase()}${words.slice(1)}`;
  const kinds = LETTER_KINDS.map((kind) => ({
    href: `/letter-kinds/${kind}`,
    words: capital(kindWords(voiceFor('en'), kind)),
  }));
  return [{ lang: 'en', title: 'Kinds of letters', nav: { here: 'letters' } }, { kinds }];
}

/** One kind of letter as it would look, and its wording. */
export function letterKindSheet(
  preview: RecordsPreview,
  wording: readonly WordingRecord[],
  looking: {
    readonly keeps: boolean;
    readonly done: boolean;
    readonly tried: boolean;
    readonly once: string;
    readonly sent: Sent | null;
    readonly languages: readonly string[];
  },
): [Frame, LetterKindModel] {
  const { kind, language, car } = preview;
  const path = `/letter-kinds/${kind}`;
  return [
    { lang: 'en', title: 'A kind of letter', nav: { here: 'letters' } },
    {
      words: kindWords(voiceFor('en'), kind),
      done: looking.done
        ? 'Kept. Letters that wait keep the words that they were written with; the next ones have these.'
        : '',
      tried: looking.tried ? 'So it would look. Nothing is kept yet and nothing was sent.' : '',
      about:
        car === null
          ? 'There is no car in your records yet, so everybody in it is invented.'
          : `With the record of ${car.registration}, ${car.owner}. ${invented(kind)} Nothing is sent, and its links lead nowhere.`,
      subject: preview.subject,
      html: preview.html,
      text: preview.text,
      languages: looking.languages.map((one) => ({
        href: `${path}?in=${one}${car === null ? '' : `&car=${car.id}`}`,
        words: LANGUAGE_WORDS[one] ?? one,
        chosen: one === language,
      })),
      cars: preview.cars.map((one) => ({ ...one, chosen: one.id === car?.id })),
      language,
      path,
      form: looking.keeps && wording.length > 0 ? wordingForm(path, kind, wording, looking) : null,
    },
  ];
}

function invented(kind: LetterKind): string {
  return kind === 'must-stay'
    ? 'Where its top may be moved, what was found on it is invented. The words keep people from harm and stand as they are.'
    : 'Visits, repairs and warranties in it are invented.';
}

function wordingForm(
  path: string,
  kind: LetterKind,
  wording: readonly WordingRecord[],
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
) {
  const fields = wording.map(({ slot, text, standard, places, lines, maxLength }) => ({
    field: field(sent, slot, SLOT_WORDS[slot] ?? slot, {
      value: text,
      area: lines === 'many',
      hint: `At most ${maxLength} signs.${places.length === 0 ? ' It shows unopened, so it names nothing.' : ` May hold ${places.map((place) => `{{${place}}}`).join(', ')}.`}`,
    }),
    standard,
  }));
  return {
    ...formOf(
      `${path}/try`,
      once,
      sent,
      fields.map((one) => one.field),
    ),
    fields,
    kind,
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'letter-kinds': LetterKindsModel;
    readonly 'letter-kind': LetterKindModel;
  }
}
