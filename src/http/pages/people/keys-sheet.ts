import { dayIn } from '../../../domain/calendar/zone.ts';
import type { Scope } from '../../../usecases/context/context.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { TrailModel } from '../shop/trail-lines.ts';
import type { Frame } from '../frame/frame.ts';

interface KeyFacts {
  readonly id: string;
  readonly name: string;
  readonly scope: Scope;
  readonly cars: readonly string[] | null;
  readonly createdAt: string;
  readonly lastUsedAt: string | null;
  readonly expiresAt: string | null;
  readonly revokedAt: string | null;
  readonly live: boolean;
}

export interface KeysModel {
  /** The latest changes of keys. */
  readonly trail: TrailModel;
  readonly done: string;
  readonly keys: readonly {
    readonly name: string;
    readonly may: string;
    readonly made: string;
    readonly used: string;
    readonly ends: string;
    /** Where to end it; empty where it opens nothing any more. */
    readonly revoke: string;
  }[];
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
}

export interface KeyModel {
  readonly name: string;
  readonly key: string;
}

/** The keys of an organisation, and a form for another. */
export function keysSheet(
  keys: readonly KeyFacts[],
  view: {
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    /** The zone by whose clock it is told when. */
    readonly timeZone: string;
    readonly trail: TrailModel;
  },
  voice: Voice,
): [Frame, KeysModel] {
  const { once, sent, timeZone } = view;
  const { say } = voice;
  const fields = [
    field(sent, 'name', say('keys.name'), { needed: true, hint: say('keys.name.hint') }),
    choice(
      sent,
      'scope',
      say('keys.scope'),
      spokenChoices(voice, 'keys.scope', ['read', 'log', 'full']),
      { radio: true, value: 'read' },
    ),
    field(sent, 'cars', say('keys.cars'), { area: true, hint: say('keys.cars.hint') }),
    choice(
      sent,
      'days',
      say('keys.days'),
      spokenChoices(voice, 'keys.days', ['90', '365', 'never']),
      { value: '365' },
    ),
  ];
  const model: KeysModel = {
    done: view.done === 'revoked' ? say('keys.done.revoked') : '',
    trail: view.trail,
    keys: keys.map((key) => {
      const may = say(`keys.may.${key.scope}`);
      return {
        name: keyName(key, timeZone, voice),
        may: key.cars === null ? may : say('keys.may.of', { may, cars: key.cars.join(', ') }),
        made: dayOf(key.createdAt, timeZone, voice),
        used:
          key.lastUsedAt === null
            ? say('keys.unused')
            : say('keys.used', { when: voice.locale.instant(key.lastUsedAt, timeZone) }),
        ends: endOf(key, timeZone, voice),
        revoke: key.live ? `/keys/${key.id}/revoke` : '',
      };
    }),
    form: formOf('/keys', once, sent, fields),
    fields,
  };
  return [{ lang: voice.language, title: say('keys.title'), nav: { here: 'people' } }, model];
}

/** What a key is called: by its name, else by the day it was made. */
export function keyName(
  { name, createdAt }: Pick<KeyFacts, 'name' | 'createdAt'>,
  timeZone: string,
  voice: Voice,
): string {
  const made = dayOf(createdAt, timeZone, voice);
  return name === '' ? voice.say('keys.nameless', { made }) : name;
}

function dayOf(instant: string, timeZone: string, { tell }: Voice): string {
  return tell(dayIn(timeZone, instant));
}

function endOf({ revokedAt, expiresAt, live }: KeyFacts, timeZone: string, voice: Voice): string {
  const { say } = voice;
  if (revokedAt !== null) return say('keys.revoked', { day: dayOf(revokedAt, timeZone, voice) });
  if (expiresAt === null) return say('keys.never');
  const day = dayOf(expiresAt, timeZone, voice);
  return live ? day : say('keys.ended', { day });
}

/** A fresh key, shown this once. */
export function keySheet(name: string, key: string, { language, say }: Voice): [Frame, KeyModel] {
  return [
    { lang: language, title: say('key.title'), nav: { here: 'people' } },
    { name, key },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly keys: KeysModel;
    readonly key: KeyModel;
  }
}
