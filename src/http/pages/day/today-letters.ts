import type { TodayRecord } from '../../../usecases/day/today-page.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FormModel } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import { kindWords, standingOf } from '../letters/letter-words.ts';
import type { TodayView } from './today-lines.ts';

/** A letter that met a fault, or an owner to whom none can be written. */
export interface FaultyLetter {
  readonly what: string;
  readonly when: string;
  readonly fault: string;
  /** The form that says what is to become of it, where that waits for a word. */
  readonly fate: FormModel | null;
  /** Where somebody can do something about it; null where nobody can. */
  readonly deed: { readonly href: string; readonly words: string; readonly about: string } | null;
}

/** What is wrong with letters; those first about which somebody has to say something. */
export function faultyLetters(
  { letters, now, organisation }: TodayRecord,
  { records, once }: Pick<TodayView, 'records' | 'once'>,
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
        deed: null,
      }),
    ),
    ...letters.unsaid.map(
      ({ visitId, registration, toName, plannedAt, cancelledWhy }): FaultyLetter => ({
        what: say('today.letters.fault.line', {
          kind: kindWords(voice, 'visit-report'),
          name: toName,
          state: standingOf(voice, 'cancelled', false).words,
        }),
        when: voice.moment(plannedAt, timeZone, now),
        fault: say('today.letters.unsaid', {
          registration,
          why: voice.tell(cancelledWhy ?? ''),
        }),
        fate: null,
        deed: records
          ? {
              href: `/visits/${visitId}/record`,
              words: say('record.anew'),
              about: registration,
            }
          : null,
      }),
    ),
    ...letters.setAside.map(({ name, at, reason }): FaultyLetter => {
      return {
        what: say('today.letters.set-aside', { name }),
        when: voice.moment(at, timeZone, now),
        fault: say('today.letters.set-aside.what', { reason: voice.tell(reason) }),
        fate: null,
        deed: null,
      };
    }),
  ].sort((a, b) => waits(b) - waits(a));
}

function waits({ fate, deed }: FaultyLetter): number {
  return fate !== null || deed !== null ? 1 : 0;
}

/** "3 waiting, 2 in the mail tray, so nobody was written to"; empty where there are none. */
export function lettersInWords(states: TodayRecord['letters']['states'], { count }: Voice): string {
  return states
    .map(({ state, inTray, n }) => count(`today.letters.count.${inTray ? 'in-tray' : state}`, n))
    .join(', ');
}
