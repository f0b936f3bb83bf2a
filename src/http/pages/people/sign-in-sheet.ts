import { relyingPartyOf } from '../../../usecases/people/passkeys.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { PASSKEY_SCRIPT } from '../frame/script.ts';

export interface SignInModel {
  readonly fault: string | null;
  readonly email: string;
  /** Where this page is under the name that passkeys are bound to. */
  readonly home: string;
}

/** The page that signs people in; `fault` says why the try before would not do. */
export function signInSheet(
  fault: string | null,
  email: string,
  { publicUrl }: { readonly publicUrl: string },
  { language, say }: Voice,
): [Frame, SignInModel] {
  const home = `${relyingPartyOf(publicUrl).origin}/sign-in`;
  const title = say('sign-in.title');
  const frame = { lang: language, title, nav: null, script: PASSKEY_SCRIPT.address };
  return [frame, { fault, email, home }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'sign-in': SignInModel;
  }
}
