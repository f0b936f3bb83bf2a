import { addMonths, type Day, daysBetween } from '../calendar/day.ts';
import type { Wording } from '../advice/advice.ts';

/** What was promised for one part of a top, in whole months from the fitted day. */
export interface WarrantyTerm {
  readonly part: string;
  readonly months: number;
}

export interface WarrantyEnd extends WarrantyTerm {
  /** The same day of the month that many months on, clamped: the first day without cover. */
  readonly endsOn: Day;
  /** Days of cover left; 0 or less once it has ended. */
  readonly daysLeft: number;
  readonly state: 'running' | 'ended';
}

/**
 * Stands beside every term that is shown. What a term means in law is not for this program: a
 * statutory right may run longer, and where it starts differs.
 */
export const WARRANTY_WORDS: Wording = {
  en: 'A warranty comes on top of your statutory rights and does not shorten them. Whoever needs to know what they are should ask a lawyer.',
  de: 'Eine Garantie kommt zu Ihren gesetzlichen Rechten hinzu und verkürzt sie nicht. Wer es genau wissen muss, fragt eine Anwältin oder einen Anwalt.',
};

/** The day on which a term of whole months from the fitted day ends: 31 August + 6 is 28 February. */
export function warrantyEndsOn(fittedOn: Day, months: number): Day {
  return addMonths(fittedOn, months);
}

/** When each part's term ends, as seen from `today`; soonest first, then by part. */
export function warrantyEnds(
  top: { readonly fittedOn: Day; readonly warranties: readonly WarrantyTerm[] },
  today: Day,
): WarrantyEnd[] {
  return top.warranties
    .map(({ part, months }): WarrantyEnd => {
      const endsOn = warrantyEndsOn(top.fittedOn, months);
      const daysLeft = daysBetween(today, endsOn);
      return { part, months, endsOn, daysLeft, state: daysLeft > 0 ? 'running' : 'ended' };
    })
    .sort((a, b) => a.daysLeft - b.daysLeft || (a.part < b.part ? -1 : 1));
}

/** Of these, the terms still running that end within so many days. */
export function endingWithin(ends: readonly WarrantyEnd[], days: number): WarrantyEnd[] {
  return ends.filter((end) => end.state === 'running' && end.daysLeft <= days);
}
