import type { SignInRecord } from '../../../usecases/people/sign-in-log.ts';
import { localeOf } from '../../../views/words/locale.ts';
import { deviceInWords } from './device-words.ts';

export interface SignInLine {
  readonly words: string;
  /** What is to be noticed about it; empty where it is as always. */
  readonly mark: string;
}

const EN = localeOf('en-GB');

const BY: Readonly<Record<SignInRecord['means'], string>> = {
  passkey: 'by passkey',
  password: 'by password and code',
  'recovery-code': 'by recovery code',
  invitation: 'by a link',
};

/** The lines of the sign-in log on the clock of a zone; with names where it is about several people. */
export function signInLines(
  items: readonly SignInRecord[],
  timeZone: string,
  withNames: boolean,
): SignInLine[] {
  return items.map((one) => {
    const { name, at, means, outcome, network, device, newBrowser } = one;
    const who = withNames ? `${name}: ` : '';
    const what =
      outcome === 'in'
        ? `signed in ${BY[means]}`
        : outcome === 'wrong'
          ? means === 'passkey'
            ? 'a try with a passkey whose answer did not hold'
            : 'a try with a wrong password or code'
          : 'too many wrong tries; the next are made to wait and not listed';
    return {
      words: `${EN.instant(at, timeZone)}, ${who}${what}, from ${deviceInWords(device)}, network ${network}`,
      mark: outcome !== 'in' ? 'failed' : newBrowser ? 'new browser' : '',
    };
  });
}
