import type { FindingRecord } from '../../../usecases/own/visit-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { foundInWords, ofFinding } from '../frame/finding-words.ts';

/** What was declined earlier, a line each. */
export function declinedInWords(declined: readonly FindingRecord[], voice: Voice): string[] {
  return declined.map((finding) => {
    const { advised, decidedOn } = finding;
    const what = foundInWords(finding, voice);
    const day = decidedOn === null ? voice.say('declined.no-day') : voice.day(decidedOn);
    return advised === null
      ? voice.say('declined.line', { what, day })
      : voice.say('declined.line.advised', { what, advised: ofFinding(advised, voice), day });
  });
}
