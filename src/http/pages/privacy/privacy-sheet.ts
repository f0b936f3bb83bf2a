import type { Frame } from '../frame/frame.ts';
import type { Voice } from '../../../views/words/voice.ts';

interface NoticeFacts {
  readonly organisation: {
    readonly name: string;
    readonly postalAddress: string | null;
    readonly email: string | null;
    readonly phone: string | null;
  };
  readonly kinds: readonly {
    readonly id: string;
    readonly about: 'owner' | 'staff';
    readonly months: number;
  }[];
}

export interface KindModel {
  readonly name: string;
  readonly facts: readonly { readonly label: string; readonly words: string }[];
}

export interface PrivacyModel {
  readonly say: Voice['say'];
  readonly name: string;
  readonly owners: readonly KindModel[];
  readonly staff: readonly KindModel[];
  /** Whom to ask, line by line. */
  readonly answerable: readonly string[];
}

/** What is held about people, kind by kind: from the same list that the test holds against the schema. */
export function privacySheet(
  { organisation, kinds }: NoticeFacts,
  voice: Voice,
): [Frame, PrivacyModel] {
  const { name, postalAddress, email, phone } = organisation;
  const of = (about: 'owner' | 'staff') =>
    kinds.filter((kind) => kind.about === about).map((kind) => kindModel(kind, voice));
  const answerable = [name, ...(postalAddress ?? '').split('\n'), email ?? '', phone ?? ''];
  return [
    { lang: voice.language, title: voice.say('privacy.title'), nav: null },
    {
      say: voice.say,
      name,
      owners: of('owner'),
      staff: of('staff'),
      answerable: answerable.filter((line) => line.trim() !== ''),
    },
  ];
}

/** One kind in words: what, why, how long, who sees it. */
export function kindModel(
  { id, months }: { readonly id: string; readonly months: number },
  voice: Voice,
): KindModel {
  const long =
    months === 0 ? voice.say('privacy.long.erased') : voice.count('privacy.long.months', months);
  return {
    name: voice.say(`privacy.kind.${id}.name`),
    facts: [
      ...(['what', 'why', 'who'] as const).map((fact) => ({
        label: voice.say(`privacy.${fact}`),
        words: voice.say(`privacy.kind.${id}.${fact}`),
      })),
      { label: voice.say('privacy.long'), words: long },
    ],
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly privacy: PrivacyModel;
  }
}
