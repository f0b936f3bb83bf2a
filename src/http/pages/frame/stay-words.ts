import type { MayMove } from '../../../domain/may-move/move-verdict.ts';
import { careWords, type StayWords, stayWords } from '../../../views/letters/stay.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';

/** What the shop's pages say of a top that must not be moved, or only with care; else nothing. */
export interface ShopStay {
  readonly stay: StayWords | null;
  readonly care: readonly string[];
}

/** The shop reads the same words as its customers; that it should ring itself is left out. */
export function shopStay(
  registration: string,
  mayMove: MayMove | undefined,
  voice: Voice,
): ShopStay {
  if (mayMove === undefined) return { stay: null, care: [] };
  const speaker = speakerOf(voice.language);
  const move = { registration, ...mayMove };
  const stay = stayWords([move], { kind: 'shop', phone: null }, speaker);
  const lead = stay?.lead.slice(0, mayMove.repairOn === null ? -1 : undefined) ?? [];
  return {
    stay: stay && { ...stay, lead, steps: [] },
    care: careWords([move], speaker, 'desk'),
  };
}
