import { houseOf } from '../../../usecases/people/passkeys.ts';
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
): [Frame, SignInModel] {
  const home = `${houseOf(publicUrl).origin}/sign-in`;
  const frame = { lang: 'en', title: 'Sign in', nav: null, script: PASSKEY_SCRIPT.address };
  return [frame, { fault, email, home }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'sign-in': SignInModel;
  }
}
