import type { Role } from '../../../domain/people/rights.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { TrailModel } from '../shop/trail-lines.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { roleChoices, roleWords } from '../shop/role-words.ts';

interface PersonFacts {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly passkeys: number;
  readonly hasPassword: boolean;
  readonly seenAt: string | null;
}

interface InvitationFacts {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly expiresAt: string;
}

export interface PeopleModel {
  readonly done: string;
  /** The latest changes of people and keys. */
  readonly trail: TrailModel;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
  readonly people: readonly {
    readonly name: string;
    readonly words: string;
    readonly own: boolean;
    readonly path: string;
    readonly role: FieldModel;
  }[];
  readonly invitations: readonly {
    readonly name: string;
    readonly words: string;
    readonly takeBack: string;
  }[];
}

export interface InvitedModel {
  readonly name: string;
  readonly url: string;
}

const DONE: Readonly<Record<string, string>> = {
  mailed: 'The invitation is on its way by mail.',
  role: 'Changed. It holds from their next step on.',
  'signed-out': 'Signed out everywhere.',
  parted:
    'Gone: signed out everywhere, and nothing lets them in again. What they did keeps their name.',
  'taken-back': 'Taken back: the link opens nothing any more.',
};

/** Who signs in here, who is invited, and a form to invite somebody. */
export function peopleSheet(
  people: readonly PersonFacts[],
  invitations: readonly InvitationFacts[],
  looking: {
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly own: string | null;
    readonly trail: TrailModel;
  },
): [Frame, PeopleModel] {
  const { once, sent, own } = looking;
  const fields = [
    field(sent, 'name', 'Name', { needed: true }),
    field(sent, 'email', 'Address', { type: 'email', mode: 'email', needed: true }),
    choice(sent, 'role', 'Role', roleChoices(voiceFor('en')), { radio: true, value: 'fitter' }),
  ];
  const model: PeopleModel = {
    done: DONE[looking.done ?? ''] ?? '',
    trail: looking.trail,
    form: formOf('/people', once, sent, fields),
    fields,
    people: people.map((person) => ({
      name: person.name,
      words: `${person.email}; ${roleWords(voiceFor('en'), person.role)}; signs in by ${meansOf(person)}; last here: ${person.seenAt?.slice(0, 10) ?? 'never'}`,
      own: person.id === own,
      path: `/people/${person.id}`,
      role: choice(null, 'role', 'Role', roleChoices(voiceFor('en')), {
        id: `role-${person.id}`,
        value: person.role,
      }),
    })),
    invitations: invitations.map(({ id, name, email, role, expiresAt }) => ({
      name,
      words: `${email}; ${roleWords(voiceFor('en'), role)}; open until ${expiresAt.slice(0, 10)}`,
      takeBack: `/invitations/${id}/take-back`,
    })),
  };
  return [{ lang: 'en', title: 'People', nav: { here: 'people' } }, model];
}

function meansOf({ passkeys, hasPassword }: PersonFacts): string {
  const means = [
    ...(passkeys > 0 ? [`passkey (${passkeys})`] : []),
    ...(hasPassword ? ['password'] : []),
  ];
  return means.length === 0 ? 'nothing yet' : means.join(' and ');
}

/** A link to hand over by hand, shown this once. */
export function invitedSheet(name: string, url: string): [Frame, InvitedModel] {
  return [
    { lang: 'en', title: 'An invitation', nav: { here: 'people' } },
    { name, url },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly people: PeopleModel;
    readonly invited: InvitedModel;
  }
}
