import type { Role } from '../../../domain/people/rights.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { TrailModel } from '../shop/trail-lines.ts';
import type { Voice } from '../../../views/words/voice.ts';
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

const DONE = ['mailed', 'role', 'signed-out', 'parted', 'taken-back'];

/** Who signs in here, who is invited, and a form to invite somebody. */
export function peopleSheet(
  people: readonly PersonFacts[],
  invitations: readonly InvitationFacts[],
  view: {
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly own: string | null;
    readonly trail: TrailModel;
  },
  voice: Voice,
): [Frame, PeopleModel] {
  const { once, sent, own, done = '' } = view;
  const { say, tell } = voice;
  const roles = roleChoices(voice);
  const fields = [
    field(sent, 'name', say('people.name'), { needed: true }),
    field(sent, 'email', say('people.email'), { type: 'email', mode: 'email', needed: true }),
    choice(sent, 'role', say('people.role'), roles, { radio: true, value: 'fitter' }),
  ];
  const model: PeopleModel = {
    done: DONE.includes(done) ? say(`people.done.${done}`) : '',
    trail: view.trail,
    form: formOf('/people', once, sent, fields),
    fields,
    people: people.map((person) => ({
      name: person.name,
      words: say('people.words', {
        email: person.email,
        role: roleWords(voice, person.role),
        means: meansOf(person, voice),
        seen: person.seenAt === null ? say('people.never') : tell(person.seenAt.slice(0, 10)),
      }),
      own: person.id === own,
      path: `/people/${person.id}`,
      role: choice(null, 'role', say('people.role'), roles, {
        id: `role-${person.id}`,
        value: person.role,
      }),
    })),
    invitations: invitations.map(({ id, name, email, role, expiresAt }) => ({
      name,
      words: say('people.invited.words', {
        email,
        role: roleWords(voice, role),
        until: tell(expiresAt.slice(0, 10)),
      }),
      takeBack: `/invitations/${id}/take-back`,
    })),
  };
  return [{ lang: voice.language, title: say('people.title'), nav: { here: 'people' } }, model];
}

function meansOf({ passkeys, hasPassword }: PersonFacts, { say, locale }: Voice): string {
  const means = [
    ...(passkeys > 0 ? [say('people.means.passkeys', { n: String(passkeys) })] : []),
    ...(hasPassword ? [say('people.means.password')] : []),
  ];
  return means.length === 0 ? say('people.means.nothing') : locale.list(means);
}

/** A link to hand over by hand, shown this once. */
export function invitedSheet(
  name: string,
  url: string,
  { language, say }: Voice,
): [Frame, InvitedModel] {
  return [
    { lang: language, title: say('invited.title'), nav: { here: 'people' } },
    { name, url },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly people: PeopleModel;
    readonly invited: InvitedModel;
  }
}
