import type { Frame } from '../frame/frame.ts';

export interface SignInModel {
  readonly fault: string | null;
}

/** The page that asks for a key; `fault` says why the one before would not do. */
export function signInSheet(fault: string | null): [Frame, SignInModel] {
  return [{ lang: 'en', title: 'Sign in', nav: null }, { fault }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'sign-in': SignInModel;
  }
}
