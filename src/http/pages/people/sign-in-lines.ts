import type { SignInRecord } from '../../../usecases/people/sign-in-log.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { deviceInWords } from './device-words.ts';

export interface SignInLine {
  readonly words: string;
  /** What is to be noticed about it; empty where it is as always. */
  readonly mark: string;
}

/** The lines of the sign-in log on the clock of a zone; with names where it is about several people. */
export function signInLines(
  items: readonly SignInRecord[],
  timeZone: string,
  withNames: boolean,
  voice: Voice,
): SignInLine[] {
  const { say, locale } = voice;
  return items.map(({ name, at, means, outcome, network, device, newBrowser }) => {
    const told = {
      when: locale.instant(at, timeZone),
      what: whatOf(outcome, means, voice),
      device: deviceInWords(device, voice),
      network,
    };
    return {
      words: withNames ? say('sign-ins.line.name', { ...told, name }) : say('sign-ins.line', told),
      mark:
        outcome !== 'in' ? say('sign-ins.mark.failed') : newBrowser ? say('sign-ins.mark.new') : '',
    };
  });
}

function whatOf(
  outcome: SignInRecord['outcome'],
  means: SignInRecord['means'],
  { say }: Voice,
): string {
  if (outcome === 'in') return say(`sign-ins.in.${means}`);
  if (outcome !== 'wrong') return say('sign-ins.too-many');
  return means === 'passkey' ? say('sign-ins.wrong.passkey') : say('sign-ins.wrong');
}
