import type { Voice } from '../../../views/words/voice.ts';
import type { PageModels } from './page-models.ts';

/**
 * The rules, as the page of figures has them, whose numbers decide what a page of whoever is signed in says,
 * by its template: at its foot it leads to them, with marks and sources. A page that shows records and no
 * judgement is not here, nor is an owner's, whose words carry their marks themselves.
 */
export const PAGE_RULES: Readonly<Partial<Record<keyof PageModels, readonly string[]>>> = {
  advice: ['care-advice'],
  bench: ['bench-load'],
  'bench-sheet': ['may-move'],
  booked: ['bench-load'],
  booking: ['bench-load'],
  car: ['folded-clock', 'interval', 'may-move'],
  'care-day': ['bench-load'],
  chances: ['call-order'],
  'change-car': ['interval'],
  'change-top': ['interval'],
  'diary-settings': ['bench-load'],
  'fault-talk': ['fault-finding'],
  letters: ['round'],
  lives: ['weibull'],
  'new-car': ['interval', 'folded-clock'],
  'offers-plan': ['bench-load'],
  'open-work': ['fault-finding', 'parts'],
  prices: ['fault-finding', 'parts'],
  stock: ['parts'],
  'stock-part': ['parts'],
  today: ['call-order', 'folded-clock', 'bench-load', 'parts', 'second-look'],
  top: ['interval', 'may-move', 'folded-clock'],
  tops: ['interval'],
  'visit-form': ['may-move'],
};

/** Where the numbers of a page come from: the rules by name, with the places of their figures. */
export function numbersOf(
  page: keyof PageModels,
  { say }: Voice,
): readonly { name: string; href: string }[] {
  return (PAGE_RULES[page] ?? []).map((rule) => ({
    name: say(`rule.${rule}`),
    href: `/settings/figures#rule-${rule}`,
  }));
}
