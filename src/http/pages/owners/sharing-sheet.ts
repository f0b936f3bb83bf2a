import { dayIn } from '../../../domain/calendar/zone.ts';
import type { SharingRecord } from '../../../usecases/sharing/own-sharing.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

interface KindModel {
  readonly kind: string;
  readonly name: string;
  readonly about: string;
  readonly shown: boolean;
  readonly state: string;
  readonly button: string;
  /** What the button does, for whoever cannot see what it stands beside. */
  readonly called: string;
}

interface SeerModel {
  readonly to: string;
  readonly name: string;
  readonly words: string;
  readonly kinds: readonly KindModel[];
  /** Empty where there is nothing to part. */
  readonly part: string;
}

export interface SharingModel {
  readonly heading: string;
  readonly lead: string;
  readonly notice: string;
  readonly wrong: string;
  readonly base: string;
  readonly back: { readonly href: string; readonly words: string };
  readonly cars: readonly {
    readonly id: string;
    readonly name: string;
    readonly seers: readonly SeerModel[];
    readonly nobody: string;
    /** The code that was just made for it; empty where none was. */
    readonly code: string;
  }[];
  readonly say: (key: string) => string;
}

/** What an owner did on the page. */
export type SharingDone = 'shown' | 'hidden' | 'joined' | 'parted';
export const SHARING_DONE: readonly SharingDone[] = ['shown', 'hidden', 'joined', 'parted'];

/** Who sees what of an owner's cars, since when, with one press to change each. */
export function sharingSheet(
  record: SharingRecord,
  voice: Voice,
  view: {
    readonly base: string;
    readonly back: string;
    readonly done: SharingDone | null;
    readonly code: { readonly carId: string; readonly code: string } | null;
    readonly wrong: boolean;
  },
): [Frame, SharingModel] {
  const { say } = voice;
  const { done, code, base, wrong } = view;
  const model: SharingModel = {
    heading: say('sharing.heading'),
    lead:
      record.kind === 'private'
        ? say('sharing.lead.private')
        : say('sharing.lead', { organisation: record.organisation }),
    notice: done === null ? '' : say(`sharing.done.${done}`),
    wrong: wrong ? say('sharing.code.wrong') : '',
    base,
    back: { href: view.back, words: say('sharing.back') },
    cars: record.cars.map(({ id, registration, timeZone, seers }) => ({
      id,
      name: registration,
      seers: seers.map((seer) => ({
        to: seer.organisationId,
        name: seer.name,
        words: say(seer.own ? 'sharing.own' : 'sharing.other'),
        kinds: seer.kinds.map(({ kind, since }) =>
          kindModel(kind, seer.name, since && voice.day(dayIn(timeZone, since)), voice),
        ),
        part: seer.own ? '' : say('sharing.part', { organisation: seer.name }),
      })),
      nobody: seers.length === 0 ? say('sharing.nobody') : '',
      code: code?.carId === id ? code.code : '',
    })),
    say: (key) => say(key),
  };
  return [{ lang: voice.language, title: say('sharing.title'), nav: null }, model];
}

function kindModel(kind: string, name: string, since: string | null, { say }: Voice): KindModel {
  const button = say(since === null ? 'sharing.show' : 'sharing.hide');
  return {
    kind,
    name: say(`sharing.kind.${kind}`),
    about: say(`sharing.about.${kind}`),
    shown: since !== null,
    state: since === null ? say('sharing.hidden') : say('sharing.since', { day: since }),
    button,
    called: `${button}: ${say(`sharing.kind.${kind}`)}, ${name}`,
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly sharing: SharingModel;
  }
}
