import type { Role } from '../../../domain/people/rights.ts';
import { relyingPartyOf } from '../../../usecases/people/passkeys.ts';
import { PASSWORD_LEAST } from '../../../domain/people/patience.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { PASSKEY_SCRIPT } from '../frame/script.ts';
import { squareOf } from '../owners/card-sheet.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { roleWords } from '../shop/role-words.ts';

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
): [Frame, JoinModel] {
  const { token, authenticator, sent, context } = at;
  const path = `/join/${token}`;
  const fields = [
    ...(invitation.organisation === null ? organisationFields(sent) : []),
    ...(invitation.again
      ? []
      : [field(sent, 'name', 'Your name', { value: invitation.name, complete: 'name' })]),
    ...(invitation.email === null
      ? [field(sent, 'email', 'Your address', { type: 'email', mode: 'email', complete: 'email' })]
      : []),
  ];
  const password = passwordModel(authenticator, sent);
  const model: JoinModel = {
    heading: invitation.organisation ?? 'A new organisation',
    lead: leadOf(invitation),
    form: formOf(path, '', sent, [...fields, ...password.fields]),
    fields,
    ask: `${path}/ask`,
    home: `${relyingPartyOf(context.publicUrl).origin}${path}`,
    password,
  };
  const frame = { lang: 'en', title: 'Come in', nav: null, script: PASSKEY_SCRIPT.address };
  return [frame, model];
}

function leadOf({ organisation, role, again, email }: InvitationFacts): string {
  if (again) return `You set up anew how you sign in as ${email ?? ''}. What you had before ends.`;
  if (organisation === null)
    return 'No organisation is here yet. You give it its name and are its manager.';
  return `You come in as ${roleWords(voiceFor('en'), role)}, and sign in as ${email ?? ''}.`;
}

function organisationFields(sent: Sent | null): FieldModel[] {
  return [
    field(sent, 'organisation', 'Name of your shop or club', { needed: true }),
    choice(
      sent,
      'kind',
      'What it is',
      [
        ['shop', 'a shop'],
        ['club', 'a club'],
        ['private', 'my own cars'],
      ],
      { value: 'shop' },
    ),
    field(sent, 'timeZone', 'Time zone', { value: 'Europe/London', hint: 'As in Europe/London.' }),
    choice(
      sent,
      'language',
      'Language of letters',
      [
        ['en', 'English'],
        ['de', 'German'],
      ],
      { value: 'en' },
    ),
  ];
}

/** The fields that set a password with its authenticator; passwords are never shown again. */
export function passwordModel(
  { secret, uri }: { readonly secret: string; readonly uri: string },
  sent: Sent | null,
): PasswordModel {
  return {
    secret,
    spelt: secret.replace(/(.{4})(?=.)/g, '$1 '),
    code: squareOf(uri),
    fields: [
      field(sent, 'password', 'Password', {
        type: 'password',
        complete: 'new-password',
        hint: `${PASSWORD_LEAST} characters at the least; some words that have nothing to do with you.`,
      }),
      field(sent, 'code', 'Code that the authenticator shows now', {
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
