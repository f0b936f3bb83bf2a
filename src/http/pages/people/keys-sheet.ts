import type { Scope } from '../../../usecases/context/context.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
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

const MAY: Readonly<Record<Scope, string>> = {
  full: 'everything',
  read: 'reads, changes nothing',
  log: 'logs positions',
};

const DONE: Readonly<Record<string, string>> = {
  revoked: 'Revoked. It opens nothing from now on, and whoever signed in with it is signed out.',
};

/** The keys of an organisation, and a form for another. */
export function keysSheet(
  keys: readonly KeyFacts[],
  looking: {
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly trail: TrailModel;
  },
): [Frame, KeysModel] {
  const { once, sent } = looking;
  const fields = [
    field(sent, 'name', 'What it is for', {
      needed: true,
      hint: 'As in “logger in the green car”: to know it again in this list.',
    }),
    choice(
      sent,
      'scope',
      'What it may do',
      [
        ['read', 'Read the records, change nothing'],
        ['log', 'Log folded and raised, nothing else'],
        ['full', 'Everything a program can do'],
      ],
      { radio: true, value: 'read' },
    ),
    field(sent, 'cars', 'Its cars, for a key that logs', {
      area: true,
      hint: 'Registrations, one a line. Empty means all cars.',
    }),
    choice(
      sent,
      'days',
      'Ends by itself',
      [
        ['90', 'in 90 days'],
        ['365', 'in a year'],
        ['never', 'never'],
      ],
      { value: '365' },
    ),
  ];
  const model: KeysModel = {
    done: DONE[looking.done ?? ''] ?? '',
    trail: looking.trail,
    keys: keys.map((key) => ({
      name: key.name === '' ? `without a name, made ${key.createdAt.slice(0, 10)}` : key.name,
      may: key.cars === null ? MAY[key.scope] : `${MAY[key.scope]} of ${key.cars.join(', ')}`,
      made: key.createdAt.slice(0, 10),
      used: key.lastUsedAt === null ? 'never' : hourOf(key.lastUsedAt),
      ends: endOf(key),
      revoke: key.live ? `/keys/${key.id}/revoke` : '',
    })),
    form: formOf('/keys', once, sent, fields),
    fields,
  };
  return [{ lang: 'en', title: 'Keys for programs', nav: { here: 'people' } }, model];
}

function endOf({ revokedAt, expiresAt, live }: KeyFacts): string {
  if (revokedAt !== null) return `revoked ${revokedAt.slice(0, 10)}`;
  if (expiresAt === null) return 'never';
  return live ? expiresAt.slice(0, 10) : `ended ${expiresAt.slice(0, 10)}`;
}

function hourOf(instant: string): string {
  return `${instant.slice(0, 10)} ${instant.slice(11, 13)} h UTC`;
}

/** A fresh key, shown this once. */
export function keySheet(name: string, key: string): [Frame, KeyModel] {
  return [
    { lang: 'en', title: 'A new key', nav: { here: 'people' } },
    { name, key },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly keys: KeysModel;
    readonly key: KeyModel;
  }
}
