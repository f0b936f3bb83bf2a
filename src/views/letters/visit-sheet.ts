import { offersOf } from './lubrication-sheet.ts';
import type { LetterKind } from './models.ts';
import { type Checked, EMPTY_BODY, type LetterBody, registrations, type Speaker } from './sheet.ts';

type Model = Checked<'visit-offered'>;

/** What a visit is for and when it is, and the weeks to choose from where none is agreed. */
export function visitBody(model: Model, kind: LetterKind, speaker: Speaker): LetterBody {
  const { visit } = model;
  const work = speaker.say(`visit.kind.${visit.kind}`);
  const date = visit.on === null ? null : speaker.day(visit.on);
  const week = visit.week === null ? null : speaker.week(visit.week, 'label');
  const when = date ?? week ?? speaker.say('visit.open');
  const fact = (label: string, value: string | null) =>
    value === null ? [] : [{ label: speaker.say(`label.${label}`), value }];
  const off = kind === 'visit-called-off';
  const choosing = kind === 'visit-offered' || (off && model.offers.length > 0);
  const minutes = visit.minutes === null ? null : speaker.count('minutes', visit.minutes);
  const previous = visit.previousOn === null ? null : speaker.day(visit.previousOn);
  return {
    ...EMPTY_BODY,
    figures: { visit: work, when },
    cars: [
      {
        name: registrations(speaker, model.cars),
        facts: [
          ...fact('work', work),
          ...fact(off ? 'wasOn' : 'when', kind === 'visit-offered' ? null : (date ?? week)),
          ...fact('before', kind === 'visit-moved' ? previous : null),
          ...fact('takes', off ? null : minutes),
          ...fact('reason', visit.reason),
        ],
        notes: date !== null && !off ? [speaker.say('visit.calendar')] : [],
      },
    ],
    offers: choosing || model.offers.length > 0 ? offersOf(model, speaker) : null,
  };
}
