import type { TodayRecord } from '../../../usecases/day/today-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FormModel } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import { kindWords, standingOf } from '../letters/letter-words.ts';
import type { TodayLooking } from './today-lines.ts';

/** A letter that met a fault, or an owner to whom none can be written. */
export interface FaultyLetter {
  readonly what: string;
  readonly when: string;
  readonly fault: string;
  /** The form that says what is to become of it, where that waits for a word. */
  readonly fate: FormModel | null;
}

/** What is wrong with letters; those first about which somebody has to say something. */
export function faultyLetters(
  { letters, now, organisation }: TodayRecord,
  { records, once }: Pick<TodayLooking, 'records' | 'once'>,
  voice: Voice,
): FaultyLetter[] {
  const { say } = voice;
  const { timeZone } = organisation;
  return [
    ...letters.faults.map(
      ({ id, kind, state, toName, plannedAt, nextTryAt, fault }): FaultyLetter => ({
        what: say('today.letters.fault.line', {
          kind: kindWords(voice, kind),
          name: toName,
          state: standingOf(voice, state, false).words,
        }),
        when: voice.moment(plannedAt, timeZone, now),
        fault: voice.tell(fault),
        fate:
          records && state === 'unknown' && nextTryAt === null
            ? formOf(`/letters/${id}/fate`, once, null, [])
            : null,
      }),
    ),
    ...letters.setAside.map(({ name, at, reason }): FaultyLetter => {
      return {
        what: say('today.letters.set-aside', { name }),
        when: voice.moment(at, timeZone, now),
        fault: say('today.letters.set-aside.what', { reason: voice.tell(reason) }),
        fate: null,
      };
    }),
  ].sort((a, b) => Number(b.fate !== null) - Number(a.fate !== null));
}

/** "3 waiting, 2 in the mail tray, so nobody was written to"; empty where there are none. */
export function lettersInWords(states: TodayRecord['letters']['states'], { count }: Voice): string {
  return states
    .map(({ state, inTray, n }) => count(`today.letters.count.${inTray ? 'in-tray' : state}`, n))
    .join(', ');
}
