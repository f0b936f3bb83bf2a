import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import type { SmallForm } from '../frame/small-form.ts';

/** What was typed after the sign-in had ended: kept on the page, to be sent once somebody is signed in. */
export interface SignedOutModel {
  readonly heading: string;
  readonly words: string;
  readonly action: string;
  readonly fields: readonly { readonly name: string; readonly value: string }[];
}

/** Fields that are written into no page. */
const SECRET = new Set(['password', 'code', 'secret', 'key']);

/**
 * The page for a form that came after its sender was signed out; null where it holds a secret, which
 * is typed anew.
 */
export function signedOutSheet(
  action: string,
  form: SmallForm,
  { say, language }: Voice,
): [Frame, SignedOutModel] | null {
  const fields = Object.entries(form).map(([name, value]) => ({ name, value }));
  if (fields.some(({ name }) => SECRET.has(name))) return null;
  const heading = say('form.refused.heading');
  return [
    { lang: language, title: heading, nav: null },
    { heading, words: say('form.signed-out'), action, fields },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'signed-out': SignedOutModel;
  }
}
