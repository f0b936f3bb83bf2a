import type { CarResult, DayResultRecord } from '../../../usecases/care-days/day-result.ts';
import type { ClubLetterInput } from '../../../usecases/club/club-letters.ts';
import type { Voice } from '../../../views/words/voice.ts';

/**
 * What a letter to all members may tell of a care day, as a draft: sums alone, for what was found on a
 * car is its owner's to read.
 */
export function resultLetter({ day, done }: DayResultRecord, voice: Voice): ClubLetterInput {
  const { say, count } = voice;
  const sum = (of: (one: CarResult) => number) => done.reduce((all, one) => all + of(one), 0);
  const on = voice.day(day.heldOn);
  const oiled = sum((one) => one.oiled);
  const washers = sum(({ washersMissing }) => washersMissing);
  const found = sum(({ findings }) => findings.length);
  const paragraphs = [
    count('result-letter.cars', done.length, { day: on, place: day.place }),
    [
      ...(oiled === 0 ? [] : [count('result-letter.oiled', oiled)]),
      ...(washers === 0 ? [] : [count('result-letter.washers', washers)]),
      found === 0 ? say('result-letter.found.none') : count('result-letter.found', found),
    ].join(' '),
    say('result-letter.own'),
  ];
  return { subject: say('result-letter.subject', { day: on }), text: paragraphs.join('\n\n') };
}
