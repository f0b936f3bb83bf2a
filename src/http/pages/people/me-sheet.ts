import type { Role } from '../../../domain/people/rights.ts';
import { relyingPartyOf } from '../../../usecases/people/passkeys.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, formOf, spokenChoices } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { PASSKEY_SCRIPT } from '../frame/script.ts';
import type { SignInRecord } from '../../../usecases/people/sign-in-log.ts';
import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import type { Voice } from '../../../views/words/voice.ts';
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
  readonly language: string | null;
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
    readonly language: FieldModel;
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

/** In which pages and mails to staff can be read. */
export const PAGE_LANGUAGES = ['en', 'de'] as const;

const DONE = [
  'language',
  'joined',
  'recovered',
  'passkey',
  'removed',
  'password',
  'ended',
  'elsewhere',
];

/** The page of whoever is signed in. */
export function meSheet(
  self: SelfFacts | null,
  view: {
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
  voice: Voice,
): [Frame, MeModel] {
  const { once, sent, keepsPeople, readsRecords, history, done = '' } = view;
  const { say } = voice;
  const zone = history?.timeZone ?? 'UTC';
  const password = passwordModel(view.authenticator, sent, voice);
  const model: MeModel = {
    done: DONE.includes(done) ? say(`me.done.${done}`) : '',
    form: formOf('/me', once, sent, password.fields),
    keepsPeople,
    readsRecords,
    signIns: signInLines(history?.signIns ?? [], zone, false, voice),
    trail: trailModel(history?.changes ?? [], zone, '', voice),
    self:
      self === null
        ? null
        : {
            name: self.name,
            email: self.email,
            role: roleWords(voice, self.role),
            fresh: self.fresh,
            language: languageField(self.language, sent, voice),
            passkeys: self.passkeys.map((one) => passkeyModel(one, voice)),
            home: `${relyingPartyOf(view.publicUrl).origin}/me`,
            hasPassword: self.hasPassword,
            password,
            recoveryCodes: codesInWords(self.recoveryCodes, voice),
            sessions: self.sessions.map((one) => sessionModel(one, voice)),
          },
  };
  const frame = {
    lang: voice.language,
    title: say('me.title'),
    nav: readsRecords ? { here: 'people' } : null,
    script: PASSKEY_SCRIPT.address,
  };
  return [frame, model];
}

function languageField(language: string | null, sent: Sent | null, voice: Voice): FieldModel {
  const { say } = voice;
  const choices: [string, string][] = [
    ['', say('me.language.organisation')],
    ...spokenChoices(voice, 'me.language', PAGE_LANGUAGES),
  ];
  return choice(sent, 'language', say('me.language'), choices, { value: language ?? '' });
}

function passkeyModel(
  { id, name, createdAt, lastUsedAt }: SelfFacts['passkeys'][number],
  { say, tell }: Voice,
) {
  const used = lastUsedAt === null ? say('me.passkey.never') : tell(lastUsedAt.slice(0, 10));
  return {
    name,
    words: say('me.passkey.words', { made: tell(createdAt.slice(0, 10)), used }),
    remove: `/me/passkeys/${id}/remove`,
  };
}

function sessionModel(
  { id, device, means, createdAt, seenAt, own }: SelfFacts['sessions'][number],
  voice: Voice,
) {
  const { say, tell } = voice;
  const words = say('me.session', {
    device: deviceInWords(device, voice),
    means: say(`me.means.${means}`),
    made: tell(createdAt.slice(0, 10)),
    seen: `${tell(seenAt.slice(0, 10))} ${seenAt.slice(11, 16)} UTC`,
  });
  return { words, own, end: `/me/sessions/${id}/end` };
}

function codesInWords(left: number, { say }: Voice): string {
  return left === 0 ? say('me.codes.none') : say('me.codes.left', { n: String(left) });
}

/** Fresh recovery codes, shown this once. */
export function codesSheet(
  codes: readonly string[],
  { language, say }: Voice,
): [Frame, RecoveryCodesModel] {
  return [{ lang: language, title: say('recovery.title'), nav: null }, { codes }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly me: MeModel;
    readonly 'recovery-codes': RecoveryCodesModel;
  }
}
