import type { LubricationDue } from '../../../domain/lubrication/due.ts';
import type { LookRecord } from '../../../usecases/tops/read-looks.ts';
import type { DueRecord } from '../../../usecases/tops/read-tops.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { DayLine, DayState } from '../shop/day-lines.ts';
import { dayLine } from '../shop/day-lines.ts';
import { bookDeed, type TodayAbout } from './today-lines.ts';

/** A top whose oil is due. */
export function dueLine(top: DueRecord, about: TodayAbout, voice: Voice): DayLine {
  const { ownerName, lubrication } = top;
  const day = voice.day(lubrication.dueOn);
  const words = voice.say('today.due.line', { owner: ownerName, day });
  return windowLine(top, lubrication.state, { words, kind: 'lubrication' }, about, voice);
}

/** A top whose joints are due for a second look. */
export function lookLine(top: LookRecord, about: TodayAbout, voice: Voice): DayLine {
  const { ownerName, look } = top;
  const words = voice.say('today.looks.line', {
    owner: ownerName,
    since: voice.day(look.since),
    day: voice.day(look.windowTo),
  });
  return windowLine(top, look.state, { words, kind: 'look' }, about, voice);
}

const STATES: Readonly<Record<LubricationDue['state'], DayState>> = {
  ahead: 'plain',
  open: 'open',
  late: 'over',
};

function windowLine(
  { topId, registration, ownerName }: Pick<DueRecord, 'topId' | 'registration' | 'ownerName'>,
  state: LubricationDue['state'],
  { words, kind }: { readonly words: string; readonly kind: 'lubrication' | 'look' },
  { records, stays }: TodayAbout,
  voice: Voice,
): DayLine {
  const mustStay = stays.has(topId);
  return dayLine({
    figure: { words: voice.say(`due.${state}`), state: STATES[state] },
    href: `/tops/${topId}`,
    name: registration,
    words: mustStay ? voice.say('today.stay.repair-first', { owner: ownerName }) : words,
    deed: records && !mustStay ? bookDeed(topId, kind, registration, voice) : null,
  });
}
