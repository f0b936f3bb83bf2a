import { dialled } from '../../../domain/calls/way.ts';
import { unbroken } from '../frame/phone-words.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { CallFormModel } from './call-form.ts';

/** One line of the day: which car, what there is to know, and the one deed. */
export interface DayLine {
  /** What comes first: a time, how much over, a number of pieces. Its shape says what colour repeats. */
  readonly figure: { readonly words: string; readonly state: DayState } | null;
  readonly href: string | null;
  readonly name: string;
  readonly words: string;
  /** More to read, in small. */
  readonly small: readonly string[];
  readonly deed: { readonly href: string; readonly words: string; readonly about: string } | null;
  /** The form under which a call is noted; null for whoever may only read. */
  readonly note: CallFormModel | null;
  readonly noteOpen: boolean;
}

export type DayState = 'plain' | 'over' | 'near' | 'open';

/** A list that shows its first lines and folds the rest. */
export interface DayList {
  readonly first: readonly DayLine[];
  readonly rest: readonly DayLine[];
}

/** Shows so many lines and folds the rest. */
export function dayList(lines: readonly DayLine[], shown: number): DayList {
  return { first: lines.slice(0, shown), rest: lines.slice(shown) };
}

/** A line with no more than its name and words. */
export function dayLine(line: Pick<DayLine, 'name' | 'words'> & Partial<DayLine>): DayLine {
  return {
    figure: null,
    href: null,
    small: [],
    deed: null,
    note: null,
    noteOpen: false,
    ...line,
  };
}

interface Reached {
  readonly phone: string | null;
  readonly ownerName: string;
}

/** To ring somebody; null where no number is known. */
export function ringDeed({ say }: Voice, { phone, ownerName }: Reached): DayLine['deed'] {
  const number = dialled(phone);
  return number === null ? null : { href: `tel:${number}`, words: say('ring'), about: ownerName };
}

/** To write to somebody that a top must stay, where nobody can be rung. */
export function writeDeed(
  { say }: Voice,
  ownerId: string,
  ownerName: string,
): NonNullable<DayLine['deed']> {
  return { href: `/owners/${ownerId}#write`, words: say('write'), about: ownerName };
}

/** A number as it ends a sentence. */
export function phoneWords({ say }: Voice, { phone }: Pick<Reached, 'phone'>): string {
  return phone === null ? say('phone.none') : say('phone.number', { phone: unbroken(phone) });
}

/** Words that begin a sentence. */
export function capital(words: string): string {
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}
