import { speakerOf } from '../../../views/letters/sheet.ts';
import { jointInWords } from '../../../views/letters/stay.ts';
import { pivotInWords } from '../../../domain/pivots/frame-patterns.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { sentence, writtenByRule } from '../../../views/words/written.ts';

export interface FoundFacts {
  readonly pivot: string | null;
  readonly text: string;
  readonly advised: string | null;
  readonly outcome: string;
}

/** "left link pivot 2" of a joint's code; one of the shop's own by its side and name: "left elbow". */
export function jointWords({ language, tell }: Voice, code: string): string {
  const speaker = speakerOf(language);
  const words = jointInWords(code, speaker);
  if (words !== code || !/^[LR]-/.test(code)) return words;
  const plain = pivotInWords(code);
  const told = tell(plain);
  if (told !== plain) return told;
  const kind = plain.slice(plain.indexOf(' ') + 1);
  return speaker.say('move.named', { side: speaker.say(`move.side.${code.slice(0, 1)}`), kind });
}

/** What was found, without what came of it: "left main pivot: A seam opens." */
export function foundInWords(
  { pivot, text }: Pick<FoundFacts, 'pivot' | 'text'>,
  voice: Voice,
): string {
  return `${pivot === null ? '' : `${jointWords(voice, pivot)}: `}${ofFinding(text, voice)}`;
}

/** A sentence of a finding: what a rule wrote in the reader's language, what somebody typed as it stands. */
export function ofFinding(written: string, { language }: Voice): string {
  return sentence(writtenByRule(written, language) ?? written);
}

/** A finding whole: "left main pivot: A seam opens. Advised: Sew it. Declined." */
export function findingInWords(finding: FoundFacts, voice: Voice): string {
  const { advised, outcome } = finding;
  return [
    foundInWords(finding, voice),
    ...(advised === null
      ? []
      : [voice.say('finding.with-advice', { advised: ofFinding(advised, voice) })]),
    voice.say(`finding.${outcome}`),
  ].join(' ');
}
