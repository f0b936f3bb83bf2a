import { dayIn } from '../../domain/calendar/zone.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { figuresOf } from '../../domain/figure-tables/letter-figures.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import type { LetterOwed } from '../../domain/round/letters-owed.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import { writtenByRule } from '../../views/words/written.ts';
import { renderLetter } from '../../views/letters/render.ts';
import type { Overrides } from '../../views/letters/slots.ts';
import type { Context } from '../context/context.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { NO_OWN_STYLE } from '../organisations/own-style.ts';
import type { LetterBase, WrittenLetter } from './compose-letter.ts';
import { composeLetter } from './compose-letter.ts';
import { answerLinks, daysLinks } from './letter-links.ts';
import {
  adviceRows,
  alsoIn,
  dampNow,
  detailsOf,
  estimatePart,
  lubricationPart,
  stayPart,
} from './letter-parts.ts';

/**
 * Writes an owed letter whole: subject, text, HTML, its own links, Message-ID and Date. All cars
 * belong to one owner. Throws when a template meets a field that it does not know.
 */
export function writeLetter(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  cars: readonly CarFacts[],
  owed: LetterOwed,
  at: Instant,
  ownStyle: OwnStyle = NO_OWN_STYLE,
  earlier: readonly string[] = [],
): WrittenLetter {
  const about = cars.filter((car) => owed.occasions.some(({ carId }) => carId === car.id));
  const car = about[0];
  if (car === undefined) throw new Error('a letter must be about a car');
  const occasions = owed.occasions.map(({ key, carId }) => ({ key, carId }));
  const answers = answerLinks(context, owed, car, at);
  const days = owed.stay ? [] : daysLinks(context, owed, about, at);
  const links = [...days, ...answers].map(({ row }) => row);
  const { kind, notBefore } = owed;
  const plan = { car, cars: about, kind, notBefore, occasions, earlier, links };
  const offers = days.map(({ registration, url, weeks }) => ({ registration, url, weeks }));
  return composeLetter(context, plan, at, ownStyle, (base, own) => {
    const also = alsoIn(owed, about, base.language);
    return render(owed, about, base, { offers, also, answer: answers[0]?.url }, own);
  });
}

/** What stands in a round's letters beside what every letter holds. */
type Beside = Pick<LetterModel<'lubrication-due'>, 'offers' | 'also'> & {
  readonly answer: string | undefined;
};

function render(
  whole: LetterOwed,
  cars: readonly CarFacts[],
  base: LetterBase,
  { offers, also, answer }: Beside,
  own: Overrides,
) {
  const owed = {
    ...whole,
    occasions: whole.occasions.filter(({ kind }) => kind === whole.kind),
  };
  switch (owed.kind) {
    case 'lubrication-ahead':
    case 'lubrication-due':
    case 'lubrication-late':
      return renderLetter(
        owed.kind,
        {
          ...base,
          offers,
          also,
          cars: detailsOf(owed, cars, 'lubrication').map(({ car, detail }) =>
            lubricationPart(car, detail.lateDays, base.today, owed.kind === 'lubrication-late'),
          ),
        },
        own,
      );
    case 'look-due':
    case 'look-late':
      return renderLetter(
        owed.kind,
        {
          ...base,
          offers,
          also,
          cars: detailsOf(owed, cars, 'look').map(({ car, detail: { look } }) => ({
            registration: car.registration,
            since: look.since,
            windowFrom: look.windowFrom,
            windowTo: look.windowTo,
          })),
        },
        own,
      );
    case 'folded-nearing':
    case 'folded-over':
    case 'folded-still':
      return renderLetter(
        owed.kind,
        {
          ...base,
          restHours: figuresOf(cars[0]?.organisation).folding.properRestHours,
          cars: detailsOf(owed, cars, 'folded').map(
            ({ car, detail: { stretch, coverOn, tookOverAt } }) => ({
              registration: car.registration,
              ...(tookOverAt === null
                ? { startedAt: stretch.startedAt, overAt: stretch.overAt, tookOverOn: null }
                : { startedAt: null, overAt: null, tookOverOn: dayIn(car.timeZone, tookOverAt) }),
              limitDays: stretch.limitDays,
              damp: dampNow(car, stretch.startedAt),
              powered: car.top?.powered ?? false,
              coverOn,
              floor: car.foldFloor && {
                celsius: car.foldFloor.celsius,
                byHandbook: car.foldFloor.byHandbook,
              },
            }),
          ),
        },
        own,
      );
    case 'must-stay':
      return renderLetter('must-stay', { ...base, ...stayPart(whole, cars) }, own);
    case 'care-note':
      return renderLetter(
        'care-note',
        {
          ...base,
          cars: detailsOf(owed, cars, 'care')
            .map(({ car }) => car)
            .filter((car, i, all) => all.indexOf(car) === i)
            .map(({ registration }) => ({ registration })),
          advice: adviceRows(owed, cars, base.language),
          also,
        },
        own,
      );
    case 'estimate': {
      const [told] = detailsOf(owed, cars, 'estimate');
      if (told === undefined || answer === undefined)
        throw new Error('an estimate is told with its link');
      return renderLetter('estimate', { ...base, ...estimatePart(told, answer) }, own);
    }
    case 'visit-offered':
      return renderLetter(
        'visit-offered',
        {
          ...base,
          cars: detailsOf(owed, cars, 'offer').map(({ car: { registration } }) => ({
            registration,
          })),
          visit: {
            kind: detailsOf(owed, cars, 'offer')[0]?.detail.visit ?? 'lubrication',
            week: null,
            on: null,
            times: null,
            manage: null,
            minutes: null,
            previousOn: null,
            elsewhere: false,
            where: null,
            reason: null,
          },
          offers,
          also,
        },
        own,
      );
    case 'warranty-ending':
      return renderLetter(
        'warranty-ending',
        {
          ...base,
          offers,
          also,
          // What is open is said once a car, however many of its warranties end.
          cars: detailsOf(owed, cars, 'warranty').map(({ car, detail }, i, all) => ({
            registration: car.registration,
            part: detail.part,
            endsOn: detail.endsOn,
            openNotes:
              all.findIndex((other) => other.car === car) === i
                ? (car.top?.openNotes ?? []).map(
                    (note) => writtenByRule(note, base.language) ?? note,
                  )
                : [],
          })),
        },
        own,
      );
    case 'care-day-asked':
      return renderLetter(
        'care-day-asked',
        {
          ...base,
          offers,
          also,
          cars: detailsOf(owed, cars, 'care-day').map(({ car, detail: { day, changeUntil } }) => ({
            registration: car.registration,
            on: day.heldOn,
            place: day.place,
            from: day.from,
            until: day.until,
            changeUntil,
          })),
        },
        own,
      );
    case 'visit-booked':
    case 'visit-moved':
    case 'visit-called-off':
    case 'visit-report':
    case 'club-letter':
      throw new Error(`${owed.kind} is written by the deed that it reports, not by the round`);
  }
}
