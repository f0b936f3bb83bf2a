import type { PageModels } from './page-models.ts';

/**
 * The rules, as the page of figures has them, whose numbers decide what a page of whoever is signed in says,
 * by its template: at its foot it leads to them, with marks and sources. Empty where a page shows records and no judgement, or where it
 * is an owner's, whose words carry their marks themselves. Every page must say which.
 */
export const PAGE_RULES: Readonly<Record<keyof PageModels, readonly string[]>> = {
  advice: ['care-advice'],
  bench: ['bench-load'],
  'bench-sheet': ['may-move'],
  book: [],
  booked: ['bench-load'],
  booking: ['bench-load'],
  call: [],
  car: ['folded-clock', 'interval', 'may-move'],
  card: [],
  'care-day': ['bench-load'],
  chances: ['call-order'],
  'change-car': ['interval'],
  'change-top': ['interval'],
  'diary-settings': ['bench-load'],
  'fault-talk': ['fault-finding'],
  figures: [],
  'figures-tried': [],
  find: [],
  front: [],
  invited: [],
  join: [],
  key: [],
  keys: [],
  letter: [],
  letters: ['round'],
  lives: ['weibull'],
  me: [],
  'new-car': ['interval', 'folded-clock'],
  'offers-plan': ['bench-load'],
  'open-work': ['fault-finding', 'parts'],
  owner: [],
  'owner-desk': [],
  'owner-link': [],
  people: [],
  prices: ['fault-finding', 'parts'],
  problem: [],
  recover: [],
  'recovery-codes': [],
  reference: [],
  settings: [],
  'sign-in': [],
  stock: ['parts'],
  'stock-part': ['parts'],
  stop: [],
  sure: [],
  today: ['call-order', 'folded-clock', 'bench-load', 'parts', 'second-look'],
  top: ['interval', 'may-move', 'folded-clock'],
  tops: ['interval'],
  trail: [],
  tray: [],
  'tray-letter': [],
  'visit-form': ['may-move'],
  'visit-parts': [],
  'visit-record': [],
};

/** What a rule judges, where its name does not say it. */
const JUDGED: Readonly<Record<string, string>> = {
  'may-move': 'joints and frame',
  interval: 'months between oilings',
  'call-order': 'whom to ring first',
  weibull: 'life of washers',
};

/** Where the numbers of a page come from: the rules by name, with the places of their figures. */
export function numbersOf(page: keyof PageModels): readonly { name: string; href: string }[] {
  return PAGE_RULES[page].map((rule) => ({
    name: JUDGED[rule] ?? rule.replaceAll('-', ' '),
    href: `/settings/figures#rule-${rule}`,
  }));
}
