import { headOf } from '../../domain/advice/note-head.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { amountOf, sumOf } from '../../domain/estimates/estimate.ts';
import { figuresOf } from '../../domain/figure-tables/letter-figures.ts';
import { lubricationDue } from '../../domain/lubrication/due.ts';
import type { CarFacts, EstimateFacts } from '../../domain/round/car-facts.ts';
import type { LetterOwed } from '../../domain/round/letters-owed.ts';
import type { Occasion } from '../../domain/round/occasion.ts';
import type { LetterModel } from '../../views/letters/models.ts';

/** The parts of letter models that follow from cars and what is owed to be said of them. */

/** What shares the letter without being its main matter. */
export function alsoIn(owed: LetterOwed, cars: readonly CarFacts[], language: string) {
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

/** What is advised, each piece once, in the language of the letter. */
export function adviceRows(owed: LetterOwed, cars: readonly CarFacts[], language: string) {
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

/** Which cars, and whether their oil waits too. */
export function stayPart(owed: LetterOwed, cars: readonly CarFacts[]) {
  const staying = detailsOf(owed, cars, 'stay').map(({ car }) => car);
  return {
    cars: staying.map(({ registration }) => ({ registration })),
    oilWaits: detailsOf(owed, cars, 'lubrication').length > 0,
  };
}

/** When a top is oiled, and why then; how late only where the letter is about that. */
export function lubricationPart(car: CarFacts, lateDays: number, today: string, late: boolean) {
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
    foundOn: top.askedSince ?? null,
    windowFrom,
    windowTo,
    intervalMonths: top.intervalMonths,
    because: [...top.because],
    lateDays: late ? lateDays : null,
    powered: top.powered,
  };
}

/** The lines of an estimate with what each comes to, and their sum. */
export function estimatePart(
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

/** Whether it was folded damp in the stretch that began then. */
export function dampNow(car: CarFacts, startedAt: Instant): boolean {
  return car.entries.some(
    (entry) =>
      entry.damp === true &&
      entry.position === 'folded' &&
      entry.withdrawn !== true &&
      entry.at >= startedAt,
  );
}

type Matter = Occasion['detail']['matter'];

/** What is owed to be said on one matter, with the car that it is about. */
export function detailsOf<M extends Matter>(
  owed: LetterOwed,
  cars: readonly CarFacts[],
  matter: M,
) {
  return owed.occasions.flatMap(({ carId, detail }) => {
    const car = cars.find((candidate) => candidate.id === carId);
    if (car === undefined || detail.matter !== matter) return [];
    return [{ car, detail: detail as Extract<Occasion['detail'], { matter: M }> }];
  });
}
