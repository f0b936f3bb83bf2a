import type { Voice } from '../../../views/words/voice.ts';
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

/** The passages that an organisation may put in its own words. */
export const SLOTS: readonly string[] = [
  'subject',
  'preheader',
  'heading',
  'lead',
  'why',
  'closing',
];

/** Every kind of letter that may be looked at, in words. */
export function letterKindsSheet(voice: Voice): [Frame, LetterKindsModel] {
  const capital = (words: string) => `${words.slice(0, 1).toUpperCase()}${words.slice(1)}`;
  const kinds = LETTER_KINDS.map((kind) => ({
    href: `/letter-kinds/${kind}`,
    words: capital(kindWords(voice, kind)),
  }));
  return [
    { lang: voice.language, title: voice.say('letters.kinds.title'), nav: { here: 'letters' } },
    { kinds },
  ];
}

/** One kind of letter as it would look, and its wording. */
export function letterKindSheet(
  preview: RecordsPreview,
  wording: readonly WordingRecord[],
  view: {
    readonly keeps: boolean;
    readonly done: boolean;
    readonly tried: boolean;
    readonly once: string;
    readonly sent: Sent | null;
    readonly languages: readonly string[];
  },
  voice: Voice,
): [Frame, LetterKindModel] {
  const { say } = voice;
  const { kind, language, car } = preview;
  const path = `/letter-kinds/${kind}`;
  return [
    { lang: voice.language, title: say('letters.kind.title'), nav: { here: 'letters' } },
    {
      words: kindWords(voice, kind),
      done: view.done ? say('letters.kind.kept') : '',
      tried: view.tried ? say('letters.kind.tried') : '',
      about:
        car === null
          ? say('letters.kind.invented')
          : say('letters.kind.about', {
              car: car.registration,
              owner: car.owner,
              invented: say(`letters.kind.invented.${kind === 'must-stay' ? 'stay' : 'parts'}`),
            }),
      subject: preview.subject,
      html: preview.html,
      text: preview.text,
      languages: view.languages.map((one) => ({
        href: `${path}?in=${one}${car === null ? '' : `&car=${car.id}`}`,
        words: say(`letters.language.${one}`),
        chosen: one === language,
      })),
      cars: preview.cars.map((one) => ({ ...one, chosen: one.id === car?.id })),
      language,
      path,
      form: view.keeps && wording.length > 0 ? wordingForm(path, kind, wording, view, voice) : null,
    },
  ];
}

function wordingForm(
  path: string,
  kind: LetterKind,
  wording: readonly WordingRecord[],
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
  voice: Voice,
) {
  const fields = wording.map(({ slot, text, standard, places, lines, maxLength }) => ({
    field: field(sent, slot, voice.say(`letters.slot.${slot}`), {
      value: text,
      area: lines === 'many',
      hint: hintOf(places, String(maxLength), voice),
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

function hintOf(places: readonly string[], most: string, { say }: Voice): string {
  if (places.length === 0) return say('letters.slot.hint.unopened', { most });
  const named = places.map((place) => `{{${place}}}`).join(', ');
  return say('letters.slot.hint.places', { most, places: named });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'letter-kinds': LetterKindsModel;
    readonly 'letter-kind': LetterKindModel;
  }
}
