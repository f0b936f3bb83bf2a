import { alsoBlocks, alsoSources } from './also.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { offersOf } from './offers.ts';
import type { Checked } from './models.ts';
import { careWords } from './stay.ts';
import { EMPTY_BODY, type LetterBody, registrations, type Speaker } from './sheet.ts';

type Model = Checked<'visit-offered'>;

/** What the letter says about the visit. */
type News = 'offered' | 'booked' | 'moved' | 'called-off';

/** What a visit is for and when it is, and the weeks to choose from where none is agreed. */
export function visitBody(news: News): (model: Model, speaker: Speaker) => LetterBody {
  return (model, speaker) => bodyOf(model, news, speaker);
}

function bodyOf(model: Model, news: News, speaker: Speaker): LetterBody {
  const { visit } = model;
  const work = speaker.say(`visit.kind.${visit.kind}`);
  const date = visit.on === null ? null : speaker.day(visit.on);
  const week = visit.week === null ? null : speaker.week(visit.week, 'label');
  const dated = news === 'booked' || news === 'moved';
  const times = dated ? visit.times : null;
  const from = times && speaker.instant(times.dropOffAt, times.timeZone);
  const ready = times && readyWords(times, speaker);
  const when = from ?? date ?? week ?? speaker.say('visit.open');
  const fact = (label: string, value: string | null) =>
    value === null ? [] : [{ label: speaker.say(`label.${label}`), value }];
  const stays = model.moves.some(({ verdict }) => verdict === 'leave');
  const off = news === 'called-off';
  const choosing = news === 'offered' || model.offers.length > 0;
  const minutes = visit.minutes === null ? null : lasting(visit.minutes, speaker);
  const previous = visit.previousOn === null ? null : speaker.day(visit.previousOn);
  return {
    ...EMPTY_BODY,
    words: visit.elsewhere ? 'visit-elsewhere' : null,
    // Only a visit that falls away leaves the top to be moved by its owner until another day.
    // So does what shares the letter of an offer.
    first:
      off || model.also.advice.length > 0
        ? careWords(model.moves, speaker, model.organisation.kind)
        : [],
    also: alsoBlocks(model.also, speaker),
    sources: alsoSources(model, speaker),
    fillings: { visit: work, when },
    cars: [
      {
        name: registrations(speaker, model.cars),
        facts: [
          ...fact('work', work),
          ...(news === 'offered' || from !== null
            ? []
            : fact(off ? 'wasOn' : 'when', date ?? week)),
          ...fact(stays ? 'expected' : 'bring', from),
          ...fact('ready', ready),
          ...fact('where', off ? null : visit.where),
          ...fact('before', news === 'moved' ? previous : null),
          ...fact('takes', off ? null : minutes),
          ...fact('reason', visit.reason),
        ],
        notes: date !== null && dated ? [speaker.say('visit.calendar')] : [],
      },
    ],
    offers: choosing ? offersOf(model, speaker) : null,
    manage:
      visit.manage === null || !dated
        ? null
        : {
            text: speaker.say('visit.manage'),
            button: speaker.say('visit.manage.button'),
            url: visit.manage,
          },
  };
}

function readyWords(
  { dropOffAt, readyAt, timeZone }: NonNullable<Model['visit']['times']>,
  speaker: Speaker,
): string {
  const time = speaker.time(readyAt, timeZone);
  const day = dayIn(timeZone, readyAt);
  return day === dayIn(timeZone, dropOffAt)
    ? speaker.say('ready.same', { time })
    : speaker.say('ready.later', { time, day: speaker.day(day) });
}

/** "about 45 minutes", "about 1 hour 45 minutes" */
function lasting(minutes: number, speaker: Speaker): string {
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  const parts = [
    ...(hours > 0 ? [speaker.count('hours', hours)] : []),
    ...(rest > 0 || hours === 0 ? [speaker.count('minutes', rest)] : []),
  ];
  return speaker.say('lasting', { time: parts.join(' ') });
}
