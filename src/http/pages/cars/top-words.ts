import type { Method } from '../../../domain/pivots/series.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { TopRecord } from '../../../usecases/own/top-records.ts';
import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { topInWords } from './car-words.ts';

/** "lubrication on 17 June 2026". */
export function bookedInWords(
  { kind, plannedOn }: Pick<VisitRecord, 'kind' | 'plannedOn'>,
  { say, day }: Voice,
): string {
  const named = say(`visit-kind.${kind}`);
  return plannedOn === null
    ? say('top.booked.no-day', { kind: named })
    : say('top.booked.on', { kind: named, day: day(plannedOn) });
}

/** What is known of a top, line by line. */
export function topFacts(
  top: TopRecord,
  today: Day,
  voice: Voice,
): { label: string; value: string }[] {
  const { say, day, locale } = voice;
  const { lubrication, look } = top;
  const fact = (name: string, value: string) => ({ label: say(`top.fact.${name}`), value });
  const state = say(`due.${lubrication.state}`);
  const due = { day: day(lubrication.dueOn), state };
  return [
    fact('fitted', day(top.fittedOn)),
    ...(top.retiredOn === null ? [] : [fact('retired', day(top.retiredOn))]),
    fact('top', topInWords(top, voice)),
    fact(
      'oil',
      lubrication.lastOn === null
        ? say('top.oil.never', due)
        : say('top.oil', { ...due, last: day(lubrication.lastOn) }),
    ),
    ...(look === null
      ? []
      : [
          fact(
            'look',
            say('top.look', {
              days: locale.span(look.windowFrom, look.windowTo),
              state: say(`due.${look.state}`),
              since: day(look.since),
            }),
          ),
        ]),
    ...top.warranties.map(({ part, endsOn }) =>
      fact(
        'warranty',
        say(endsOn < today ? 'top.warranty.over' : 'top.warranty', {
          part: voice.tell(part),
          day: day(endsOn),
        }),
      ),
    ),
  ];
}

type Pivot = TopPageRecord['pivots']['items'][number];

/** Day, state, washers, axial and radial play, and what was done, as they stand in the table. */
export function cellsOf(pivot: Pivot, voice: Voice): string[] {
  const { say, locale } = voice;
  const { lastReading, washersExpected, series } = pivot;
  if (lastReading === null) return [say('top.cell.unread'), '', '', '', '', ''];
  const { doneOn, state, oiled, repaired, washersPresent, axialPlayMm, radialPlayMm } = lastReading;
  const play = (mm: number | null, method: Method) => {
    if (mm !== null) return locale.hundredths(mm);
    const last = series.findLast((one) => one.method === method);
    return last === undefined
      ? say('top.cell.unmeasured')
      : say('top.cell.last', {
          mm: locale.hundredths(last.mm),
          day: locale.numericDay(last.doneOn),
        });
  };
  const done = [
    ...(oiled ? [say('top.cell.oiled')] : []),
    ...(repaired ? [say('top.cell.repaired')] : []),
  ];
  return [
    locale.numericDay(doneOn),
    say(`pivot-state.${state}`),
    washersInWords(washersPresent, washersExpected, voice),
    play(axialPlayMm, 'axial'),
    play(radialPlayMm, 'radial'),
    done.join(', ') || say('top.cell.nothing'),
  ];
}

function washersInWords(present: number | null, expected: number, { say }: Voice): string {
  if (expected === 0) return say('top.cell.no-washers');
  return present === null
    ? say('top.cell.uncounted')
    : say('top.cell.washers', { count: String(present), all: String(expected) });
}
