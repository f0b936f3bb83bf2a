import { headOf } from '../../domain/advice/note-head.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { lubricationDue } from '../../domain/lubrication/due.ts';
import { amountOf, sumOf } from '../../domain/estimates/estimate.ts';
import type { CarFacts, EstimateFacts } from '../../domain/round/car-facts.ts';
import { figuresOf } from '../../domain/figure-tables/letter-figures.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { topicOf } from '../../domain/round/letter-kind.ts';
import type { LetterOwed } from '../../domain/round/letters-owed.ts';
import type { Occasion } from '../../domain/round/occasion.ts';
import type { LetterRow, NewOccasion } from '../../store/letters/letter-rows.ts';
import type { LinkRow } from '../../store/letters/link-rows.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import { renderLetter } from '../../views/letters/render.ts';
import type { Overrides } from '../../views/letters/slots.ts';
import type { Context } from '../context/context.ts';
import { careDayLink, newLink } from '../context/links.ts';
import { newId } from '../context/new-id.ts';
import type { OwnStyle } from '../organisations/own-style.ts';
import { NO_OWN_STYLE, wordsLanguage } from '../organisations/own-style.ts';

/** A letter written out and not yet stored. */
export interface WrittenLetter {
  readonly letter: LetterRow;
  readonly occasions: readonly NewOccasion[];
  readonly links: readonly LinkRow[];
}

/** What every letter model holds, whatever its kind. */
export type LetterBase = Omit<LetterModel<'care-note'>, 'cars' | 'advice' | 'also'>;

/** A letter that is to be written, apart from its words. */
export interface LetterPlan {
  /** A car of the owner who gets it, in the care of the organisation that it comes from. */
  readonly car: Pick<CarFacts, 'owner' | 'organisation'>;
  /** The cars that the letter is about, with whether their tops may be moved. */
  readonly cars: readonly Pick<CarFacts, 'registration' | 'mayMove'>[];
  readonly kind: LetterKind;
  /** The first moment at which it may leave, which is its Date. */
  readonly notBefore: Instant;
  readonly occasions: readonly NewOccasion[];
  /** The column that delivery reads: an object for the owner's calendar as JSON. */
  readonly calendar?: string;
  /** Message-IDs of the letters on the same matter that have left before, oldest first. */
  readonly earlier?: readonly string[];
  /** Links that its words hold besides the ones that every letter has. */
  readonly links?: readonly LinkRow[];
}

// A mailbox needs the last of them; RFC 5322 lets long lists be cut.
const MOST_EARLIER = 20;

type Writer = (base: LetterBase, own: Overrides) => ReturnType<typeof renderLetter>;

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
  return composeLetter(context, plan, at, ownStyle, (base, own) =>
    render(
      owed,
      about,
      { ...base, offers, also: alsoIn(owed, about, base.language), answer: answers[0]?.url },
      own,
    ),
  );
}

/** The link by which the owner answers an estimate. */
function answerLinks(
  { publicUrl }: Pick<Context, 'publicUrl'>,
  owed: LetterOwed,
  { owner, organisation }: CarFacts,
  at: Instant,
): { url: string; row: LinkRow }[] {
  return owed.occasions.flatMap(({ carId, detail }) =>
    detail.matter === 'estimate'
      ? [
          newLink(publicUrl, at, {
            organisationId: organisation.id,
            ownerId: owner.id,
            carId,
            purpose: 'estimate',
            subject: detail.estimate.id,
          }),
        ]
      : [],
  );
}

/** For each car that is due, asked or for which room is kept, the link to what may be chosen. */
function daysLinks(
  { publicUrl }: Pick<Context, 'publicUrl'>,
  owed: LetterOwed,
  cars: readonly CarFacts[],
  at: Instant,
): { registration: string; url: string; weeks: string[]; row: LinkRow }[] {
  return cars.slice(0, MOST_CARS).flatMap((car) => {
    const { id, registration, top, organisation, owner } = car;
    const own = owed.occasions.filter(({ carId }) => carId === id);
    const asked = own.find(({ detail }) => detail.matter === 'care-day')?.detail;
    const offer = own.find(({ detail }) => detail.matter === 'offer')?.detail;
    const isDue = own.some(({ detail }) => detail.matter === 'lubrication');
    if (asked?.matter === 'care-day') {
      const { placeId, heldOn } = asked.day;
      const link = careDayLink(placeId, heldOn, dayIn(owner.timeZone, at));
      const whose = { organisationId: organisation.id, ownerId: owner.id, carId: id };
      const { url, row } = newLink(publicUrl, at, { ...whose, ...link });
      return [{ registration, url, weeks: [], row }];
    }
    // Who is asked to a care day is not asked to choose another day in the same letter.
    if (owed.kind === 'care-day-asked') return [];
    if (top === null || (offer === undefined && !(isDue && organisation.takesBookings === true))) {
      return [];
    }
    const offered = offer?.matter === 'offer' ? offer : null;
    const { url, row } = newLink(publicUrl, at, {
      organisationId: organisation.id,
      ownerId: owner.id,
      carId: id,
      purpose: 'book',
      subject: offered === null ? `top ${top.id}` : offered.offerId,
    });
    return [{ registration, url, weeks: offered === null ? [] : offered.weeks.slice(0, 12), row }];
  });
}

// As many as a letter can hold links for.
const MOST_CARS = 60;

/** What shares the letter without being its main matter. */
function alsoIn(owed: LetterOwed, cars: readonly CarFacts[], language: string) {
  const rest = { ...owed, occasions: owed.occasions.filter(({ kind }) => kind !== owed.kind) };
  return {
    lubrication: detailsOf(rest, cars, 'lubrication').map(({ car, detail }) => ({
      registration: car.registration,
      dueOn: detail.dueOn,
      late: detail.lateDays > 0,
    })),
    looks: detailsOf(rest, cars, 'look').map(({ car, detail: { look } }) => ({
      registration: car.registration,
      until: look.windowTo,
    })),
    warranties: detailsOf(rest, cars, 'warranty').map(({ car, detail }) => ({
      registration: car.registration,
      part: detail.part,
      endsOn: detail.endsOn,
    })),
    advice: adviceRows(rest, cars, language).map(({ text, why }) => ({ text, why })),
  };
}

function adviceRows(owed: LetterOwed, cars: readonly CarFacts[], language: string) {
  const parts = detailsOf(owed, cars, 'care');
  const advice = new Map(parts.map(({ detail }) => [detail.advice.id, detail.advice]));
  const speech = language.startsWith('de') ? 'de' : 'en';
  return [...advice.values()].map((row) => {
    const { subject, preheader } = headOf(row);
    return {
      id: row.id,
      subject: subject[speech],
      preheader: preheader[speech],
      text: row.text[speech],
      why: row.why[speech],
    };
  });
}

/** What the words of a round's letter are made of. */
type RoundBase = LetterBase &
  Pick<LetterModel<'lubrication-due'>, 'offers' | 'also'> & { readonly answer: string | undefined };

/**
 * Puts a letter together round the words that `write` gives it: sender, reader, links, Message-ID and
 * Date, and the organisation's own wording in the language of the letter.
 */
export function composeLetter(
  context: Pick<Context, 'publicUrl' | 'mailDomain'>,
  { car, cars, kind, notBefore, occasions, calendar, earlier = [], links = [] }: LetterPlan,
  at: Instant,
  ownStyle: OwnStyle,
  write: Writer,
): WrittenLetter {
  const { owner, organisation } = car;
  const topic = topicOf(kind);
  const whose = { organisationId: organisation.id, ownerId: owner.id };
  const stop =
    topic === null
      ? null
      : newLink(context.publicUrl, at, { ...whose, purpose: 'stop', carId: null, subject: topic });
  const page = newLink(context.publicUrl, at, {
    ...whose,
    purpose: 'owner-page',
    carId: null,
    subject: null,
  });
  const adviceUrl = `${context.publicUrl}/advice?in=${wordsLanguage(owner.language)}`;
  const base = {
    language: owner.language,
    organisation: {
      name: organisation.name,
      kind: organisation.kind,
      postalAddress: organisation.postalAddress,
      phone: organisation.phone,
      logo: ownStyle.logo(organisation.id),
    },
    owner: { name: owner.name },
    links: {
      preferences: stop?.url ?? null,
      stop: stop?.url ?? null,
      owner: page.url,
      advice: adviceUrl,
      privacy: `${context.publicUrl}/privacy/${organisation.id}`,
    },
    timeZone: owner.timeZone,
    today: dayIn(owner.timeZone, notBefore),
    moves: cars.flatMap(moveWordOf),
  };
  const written = write(base, ownStyle.words(organisation.id, owner.language, kind));
  const id = newId();
  return {
    letter: {
      id,
      organisationId: organisation.id,
      ownerId: owner.id,
      kind,
      state: 'planned',
      cancelledWhy: null,
      language: owner.language,
      toName: owner.name,
      toAddress: owner.email,
      addressHash: owner.addressHash,
      topic: topic ?? 'work',
      subject: written.subject,
      text: written.text,
      html: written.html,
      stopUrl: stop?.url ?? null,
      calendar: calendar ?? null,
      messageId: `<${id}@${context.mailDomain}>`,
      messageDate: notBefore,
      refersTo: earlier.length === 0 ? null : earlier.slice(-MOST_EARLIER).join(' '),
      plannedAt: at,
      notBefore,
      attempts: 0,
      nextTryAt: notBefore,
      leaseUntil: null,
      leaseToken: null,
      leaseHolder: null,
      firstTriedAt: null,
      startedAt: null,
      settledAt: null,
      resends: 0,
      response: null,
      fault: null,
    },
    occasions,
    links: [...(stop === null ? [] : [stop.row]), page.row, ...links],
  };
}

function render(
  whole: LetterOwed,
  cars: readonly CarFacts[],
  { offers, also, answer, ...base }: RoundBase,
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
          cars: detailsOf(owed, cars, 'folded').map(({ car, detail: { stretch, coverOn } }) => ({
            registration: car.registration,
            startedAt: stretch.startedAt,
            limitDays: stretch.limitDays,
            overAt: stretch.overAt,
            damp: dampNow(car, stretch.startedAt),
            powered: car.top?.powered ?? false,
            coverOn,
            floor: car.foldFloor && {
              celsius: car.foldFloor.celsius,
              byHandbook: car.foldFloor.byHandbook,
            },
          })),
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
          also,
          // What is open is said once a car, however many of its warranties end.
          cars: detailsOf(owed, cars, 'warranty').map(({ car, detail }, i, all) => ({
            registration: car.registration,
            part: detail.part,
            endsOn: detail.endsOn,
            openNotes:
              all.findIndex((other) => other.car === car) === i
                ? [...(car.top?.openNotes ?? [])]
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

/** Which cars, and whether their oil waits too. */
function stayPart(owed: LetterOwed, cars: readonly CarFacts[]) {
  const staying = detailsOf(owed, cars, 'stay').map(({ car }) => car);
  return {
    cars: staying.map(({ registration }) => ({ registration })),
    oilWaits: detailsOf(owed, cars, 'lubrication').length > 0,
  };
}

function lubricationPart(car: CarFacts, lateDays: number, today: string, late: boolean) {
  const { top } = car;
  if (top === null) throw new Error('a lubrication letter must be about a top');
  const { dueOn, windowFrom, windowTo } = lubricationDue(
    { ...top, today },
    figuresOf(car.organisation).due,
  );
  return {
    registration: car.registration,
    lastOn: top.lastOn,
    fittedOn: top.fittedOn,
    dueOn,
    windowFrom,
    windowTo,
    intervalMonths: top.intervalMonths,
    because: [...top.because],
    lateDays: late ? lateDays : null,
    powered: top.powered,
  };
}

/** The lines of an estimate with what each comes to, and their sum. */
function estimatePart(
  {
    car,
    detail: { estimate },
  }: { readonly car: CarFacts; readonly detail: { readonly estimate: EstimateFacts } },
  answer: string,
): Pick<LetterModel<'estimate'>, 'cars' | 'estimate'> {
  const { number, currency, lines, taxRate, taxName, words, holdsUntil } = estimate;
  return {
    cars: [{ registration: car.registration }],
    estimate: {
      number,
      currency,
      items: lines.map((line) => ({ text: line.text, amount: amountOf(line) })),
      ...sumOf(lines, taxRate),
      taxName,
      holdsUntil,
      words,
      answer,
    },
  };
}

/** What a letter must say of a top that may not be moved freely; nothing of one that may. */
function moveWordOf({
  registration,
  mayMove: { verdict, reasons, how, repairOn, powered },
}: Pick<CarFacts, 'registration' | 'mayMove'>) {
  if (verdict === 'free') return [];
  return [
    {
      registration,
      verdict,
      reasons: reasons.map(({ sign, pivot, fault }) => ({ sign, pivot, fault })),
      how: [...how],
      repairOn,
      powered,
    },
  ];
}

function dampNow(car: CarFacts, startedAt: Instant): boolean {
  return car.entries.some(
    (entry) =>
      entry.damp === true &&
      entry.position === 'folded' &&
      entry.withdrawn !== true &&
      entry.at >= startedAt,
  );
}

type Matter = Occasion['detail']['matter'];

function detailsOf<M extends Matter>(owed: LetterOwed, cars: readonly CarFacts[], matter: M) {
  return owed.occasions.flatMap(({ carId, detail }) => {
    const car = cars.find((candidate) => candidate.id === carId);
    if (car === undefined || detail.matter !== matter) return [];
    return [{ car, detail: detail as Extract<Occasion['detail'], { matter: M }> }];
  });
}
