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
  looking: {
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly trail: TrailModel;
  },
  voice: Voice,
): [Frame, KeysModel] {
  const { once, sent } = looking;
  const { say, tell } = voice;
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
    done: looking.done === 'revoked' ? say('keys.done.revoked') : '',
    trail: looking.trail,
    keys: keys.map((key) => {
      const made = tell(key.createdAt.slice(0, 10));
      const may = say(`keys.may.${key.scope}`);
      return {
        name: key.name === '' ? say('keys.nameless', { made }) : key.name,
        may: key.cars === null ? may : say('keys.may.of', { may, cars: key.cars.join(', ') }),
        made,
        used: key.lastUsedAt === null ? say('keys.unused') : hourOf(key.lastUsedAt, voice),
        ends: endOf(key, voice),
        revoke: key.live ? `/keys/${key.id}/revoke` : '',
      };
    }),
    form: formOf('/keys', once, sent, fields),
    fields,
  };
  return [{ lang: voice.language, title: say('keys.title'), nav: { here: 'people' } }, model];
}

function endOf({ revokedAt, expiresAt, live }: KeyFacts, { say, tell }: Voice): string {
  if (revokedAt !== null) return say('keys.revoked', { day: tell(revokedAt.slice(0, 10)) });
  if (expiresAt === null) return say('keys.never');
  const day = tell(expiresAt.slice(0, 10));
  return live ? day : say('keys.ended', { day });
}

function hourOf(instant: string, { say, tell }: Voice): string {
  return say('keys.used', { day: tell(instant.slice(0, 10)), hour: instant.slice(11, 13) });
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
