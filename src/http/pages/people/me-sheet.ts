import type { Role } from '../../../domain/people/rights.ts';
import { relyingPartyOf } from '../../../usecases/people/passkeys.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { PASSKEY_SCRIPT } from '../frame/script.ts';
import type { SignInRecord } from '../../../usecases/people/sign-in-log.ts';
import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { roleWords } from '../shop/role-words.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';
import { deviceInWords } from './device-words.ts';
import type { PasswordModel } from './join-sheet.ts';
import { passwordModel } from './join-sheet.ts';
import { type SignInLine, signInLines } from './sign-in-lines.ts';

interface SelfFacts {
  readonly name: string;
  readonly email: string;
  readonly role: Role;
  readonly passkeys: readonly {
    readonly id: string;
    readonly name: string;
    readonly createdAt: string;
    readonly lastUsedAt: string | null;
  }[];
  readonly hasPassword: boolean;
  readonly recoveryCodes: number;
  readonly sessions: readonly {
    readonly id: string;
    readonly device: string;
    readonly means: 'passkey' | 'password' | 'recovery-code' | 'invitation';
    readonly createdAt: string;
    readonly seenAt: string;
    readonly own: boolean;
  }[];
  readonly fresh: boolean;
}

export interface MeModel {
  readonly done: string;
  readonly form: FormModel;
  readonly keepsPeople: boolean;
  readonly readsRecords: boolean;
  readonly signIns: readonly SignInLine[];
  readonly trail: TrailModel;
  /** Null for a key, which is nobody. */
  readonly self: {
    readonly name: string;
    readonly email: string;
    readonly role: string;
    readonly fresh: boolean;
    readonly passkeys: readonly {
      readonly name: string;
      readonly words: string;
      readonly remove: string;
    }[];
    readonly home: string;
    readonly hasPassword: boolean;
    readonly password: PasswordModel;
    readonly recoveryCodes: string;
    readonly sessions: readonly {
      readonly words: string;
      readonly own: boolean;
      readonly end: string;
    }[];
  } | null;
}

export interface RecoveryCodesModel {
  readonly codes: readonly string[];
}

const DONE: Readonly<Record<string, string>> = {
  joined:
    'You are in. For the day this device is lost, set up a second way now: another passkey, or a password with recovery codes.',
  recovered: 'You came in with a recovery code, which is used up. Set up another way in now.',
  passkey: 'The passkey is kept.',
  removed: 'The passkey opens nothing any more. You are signed out everywhere else.',
  password: 'The password is set. You are signed out everywhere else.',
  ended: 'Ended.',
  elsewhere:
    'Since you were last here by this browser, somebody signed in under your name by one that was new. Look below whether that was you.',
};

const MEANS = {
  passkey: 'passkey',
  password: 'password',
  'recovery-code': 'recovery code',
  invitation: 'invitation',
} as const;

/** The page of whoever is signed in. */
export function meSheet(
  self: SelfFacts | null,
  looking: {
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
    readonly keepsPeople: boolean;
    readonly readsRecords: boolean;
    /** The latest of the trail and of the sign-in log; null for a key, which is nobody. */
    readonly history: {
      readonly timeZone: string;
      readonly changes: readonly TrailRecord[];
      readonly signIns: readonly SignInRecord[];
    } | null;
    readonly authenticator: { readonly secret: string; readonly uri: string };
    readonly publicUrl: string;
  },
): [Frame, MeModel] {
  const { once, sent, keepsPeople, readsRecords, history } = looking;
  const zone = history?.timeZone ?? 'UTC';
  const password = passwordModel(looking.authenticator, sent);
  const model: MeModel = {
    done: DONE[looking.done ?? ''] ?? '',
    form: formOf('/me', once, sent, password.fields),
    keepsPeople,
    readsRecords,
    signIns: signInLines(history?.signIns ?? [], zone, false),
    trail: trailModel(history?.changes ?? [], zone, '', voiceFor('en')),
    self:
      self === null
        ? null
        : {
            name: self.name,
            email: self.email,
            role: roleWords(voiceFor('en'), self.role),
            fresh: self.fresh,
            passkeys: self.passkeys.map(({ id, name, createdAt, lastUsedAt }) => ({
              name,
              words: `made ${createdAt.slice(0, 10)}; last used: ${lastUsedAt?.slice(0, 10) ?? 'never'}`,
              remove: `/me/passkeys/${id}/remove`,
            })),
            home: `${relyingPartyOf(looking.publicUrl).origin}/me`,
            hasPassword: self.hasPassword,
            password,
            recoveryCodes: codesInWords(self.recoveryCodes),
            sessions: self.sessions.map(({ id, device, means, createdAt, seenAt, own }) => ({
              words: `${deviceInWords(device)}: by ${MEANS[means]} on ${createdAt.slice(0, 10)}, last used ${seenAt.slice(0, 10)} ${seenAt.slice(11, 16)} UTC`,
              own,
              end: `/me/sessions/${id}/end`,
            })),
          },
  };
  const frame = {
    lang: 'en',
    title: 'You',
    nav: readsRecords ? { here: 'people' } : null,
    script: PASSKEY_SCRIPT.address,
  };
  return [frame, model];
}

function codesInWords(left: number): string {
  if (left === 0) return 'You have none.';
  return `You have ${left} left. New ones take the place of all earlier ones.`;
}

/** Fresh recovery codes, shown this once. */
export function codesSheet(codes: readonly string[]): [Frame, RecoveryCodesModel] {
  return [{ lang: 'en', title: 'Recovery codes', nav: null }, { codes }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly me: MeModel;
    readonly 'recovery-codes': RecoveryCodesModel;
  }
}
