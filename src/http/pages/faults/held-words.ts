import type { HeldAgainst, LastRead } from '../../../domain/faults/held-against.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { jointWords } from '../frame/finding-words.ts';

/** The limit that a check is held against and what was read last, each where there is one. */
export function heldWords(held: HeldAgainst | undefined, voice: Voice): string[] {
  if (held === undefined) return [];
  return [voice.tell(held.limit), lastWords(held.last, voice)].filter((words) => words !== '');
}

function lastWords(last: LastRead | null, voice: Voice): string {
  const { say, locale } = voice;
  switch (last?.kind) {
    case undefined:
      return '';
    case 'not-measured':
    case 'not-counted':
      return say(`talk.last.${last.kind}`);
    case 'none-short':
      return say('talk.last.none-short', { day: voice.day(last.on) });
    case 'most':
      return say('talk.last.most', {
        joint: jointWords(voice, last.code),
        mm: locale.number(last.mm),
        day: voice.day(last.on),
      });
    case 'short':
      return say('talk.last.short', {
        joints: locale.list(
          last.joints.map(({ code, present, expected, on }) =>
            say('talk.last.short.joint', {
              joint: jointWords(voice, code),
              present: String(present),
              expected: String(expected),
              day: voice.day(on),
            }),
          ),
        ),
      });
    case 'measured': {
      const at = ({ value, on }: { readonly value: number; readonly on: string }) =>
        say('talk.last.value', {
          value: `${locale.number(value)} ${last.unit}`,
          day: voice.day(on),
        });
      return last.first === null
        ? say('talk.last.measured', { last: at(last.last) })
        : say('talk.last.measured-since', { last: at(last.last), first: at(last.first) });
    }
  }
}
