import type { Role } from '../../../domain/people/rights.ts';
import { relyingPartyOf } from '../../../usecases/people/passkeys.ts';
import { PASSWORD_LEAST } from '../../../domain/people/patience.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { PASSKEY_SCRIPT } from '../frame/script.ts';
import { squareOf } from '../owners/card-sheet.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { roleWords } from '../shop/role-words.ts';

/** What may be set up here, the most frequent first. */
export const KINDS = ['shop', 'club', 'private'] as const;

interface InvitationFacts {
  readonly organisation: string | null;
  readonly email: string | null;
  readonly name: string | null;
  readonly role: Role;
  readonly again: boolean;
}

/** How a password is set, with the authenticator that goes with it. */
export interface PasswordModel {
  readonly secret: string;
  /** In groups of four, to be typed off. */
  readonly spelt: string;
  readonly code: ReturnType<typeof squareOf>;
  readonly fields: readonly FieldModel[];
}

export interface JoinModel {
  readonly heading: string;
  readonly lead: string;
  readonly form: FormModel;
  readonly fields: readonly FieldModel[];
  readonly ask: string;
  readonly home: string;
  readonly password: PasswordModel;
}

/** The page of a link to come in by. */
export function joinSheet(
  invitation: InvitationFacts,
  at: {
    readonly token: string;
    readonly authenticator: { readonly secret: string; readonly uri: string };
    readonly sent: Sent | null;
    readonly context: { readonly publicUrl: string };
  },
  voice: Voice,
): [Frame, JoinModel] {
  const { token, authenticator, sent, context } = at;
  const { say } = voice;
  const path = `/join/${token}`;
  const fields = [
    ...(invitation.organisation === null ? organisationFields(sent, voice) : []),
    ...(invitation.again
      ? []
      : [field(sent, 'name', say('join.name'), { value: invitation.name, complete: 'name' })]),
    ...(invitation.email === null
      ? [
          field(sent, 'email', say('join.email'), {
            type: 'email',
            mode: 'email',
            complete: 'email',
          }),
        ]
      : []),
  ];
  const password = passwordModel(authenticator, sent, voice);
  const model: JoinModel = {
    heading: invitation.organisation ?? say('join.new'),
    lead: leadOf(invitation, voice),
    form: formOf(path, '', sent, [...fields, ...password.fields]),
    fields,
    ask: `${path}/ask`,
    home: `${relyingPartyOf(context.publicUrl).origin}${path}`,
    password,
  };
  const frame = {
    lang: voice.language,
    title: say('join.title'),
    nav: null,
    script: PASSKEY_SCRIPT.address,
  };
  return [frame, model];
}

function leadOf({ organisation, role, again, email }: InvitationFacts, voice: Voice): string {
  const { say } = voice;
  if (again) return say('join.lead.again', { email: email ?? '' });
  if (organisation === null) return say('join.lead.new');
  return say('join.lead', { role: roleWords(voice, role), email: email ?? '' });
}

function organisationFields(sent: Sent | null, voice: Voice): FieldModel[] {
  const { say } = voice;
  return [
    choice(sent, 'kind', say('join.kind'), spokenChoices(voice, 'join.kind', KINDS), {
      value: 'shop',
    }),
    field(sent, 'organisation', say('join.organisation'), { hint: say('join.organisation.hint') }),
    field(sent, 'timeZone', say('join.zone'), {
      value: say('join.zone.first'),
      hint: say('join.zone.hint'),
    }),
    choice(
      sent,
      'language',
      say('join.language'),
      spokenChoices(voice, 'join.language', ['en', 'de']),
      { value: voice.language },
    ),
  ];
}

/** The fields that set a password with its authenticator; passwords are never shown again. */
export function passwordModel(
  { secret, uri }: { readonly secret: string; readonly uri: string },
  sent: Sent | null,
  { say }: Voice,
): PasswordModel {
  return {
    secret,
    spelt: secret.replace(/(.{4})(?=.)/g, '$1 '),
    code: squareOf(uri),
    fields: [
      field(sent, 'password', say('password.field'), {
        type: 'password',
        complete: 'new-password',
        hint: say('password.hint', { least: String(PASSWORD_LEAST) }),
      }),
      field(sent, 'code', say('password.code'), {
        mode: 'numeric',
        complete: 'one-time-code',
      }),
    ],
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly join: JoinModel;
  }
}
