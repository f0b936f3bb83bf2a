import { figureNamed } from '../../../domain/figure-tables/figure-tables.ts';
import { MARKS } from '../../../domain/figures/figure.ts';
import { figureNamesOf } from '../../../usecases/rules/figures-of-rule.ts';
import { RULES } from '../../../usecases/rules/all-rules.ts';
import { kept } from '../../../views/words/kept.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { PageModels } from './page-models.ts';

/**
 * The rules, as the page of figures has them, by which a page of whoever is signed in judges, by its
 * template: its foot tells the marks of their numbers and of what they say besides, and leads to the
 * sources. A page that shows records and no judgement is not here; one that is opened by a link has no
 * foot, and its words carry their marks themselves.
 */
export const PAGE_RULES: Readonly<Partial<Record<keyof PageModels, readonly string[]>>> = {
  advice: ['care-advice'],
  bench: ['bench-load'],
  'bench-sheet': ['may-move'],
  booked: ['bench-load'],
  booking: ['bench-load', 'may-move'],
  calls: ['call-order', 'may-move', 'second-look'],
  car: ['folded-clock', 'interval', 'due-days', 'may-move', 'second-look', 'fold-floor'],
  'care-day': ['bench-load', 'care-day'],
  'care-day-form': ['care-day'],
  chances: ['call-order'],
  'change-car': ['interval'],
  'change-top': ['interval'],
  'day-result': ['may-move'],
  'diary-settings': ['bench-load'],
  estimate: ['fault-finding', 'estimate'],
  estimates: ['estimate'],
  'fault-talk': ['fault-finding', 'may-move'],
  'group-order': ['parts'],
  'letter-kind': ['round'],
  'letter-kinds': ['round'],
  letters: ['round'],
  'letters-coming': ['round', 'due-days', 'folded-clock', 'care-advice'],
  lives: ['weibull'],
  members: ['interval', 'folded-clock', 'may-move'],
  'new-car': ['interval', 'folded-clock'],
  'offers-plan': ['bench-load'],
  'open-work': ['fault-finding', 'parts', 'may-move'],
  owner: ['interval', 'due-days', 'folded-clock', 'may-move', 'fold-floor', 'care-advice'],
  'owner-desk': ['address-standing', 'may-move'],
  prices: ['fault-finding', 'parts'],
  'repair-set': ['hole', 'repair-hole', 'may-move'],
  retention: ['retention'],
  rota: ['care-day'],
  stock: ['parts'],
  'stock-part': ['parts'],
  today: ['call-order', 'folded-clock', 'bench-load', 'parts', 'second-look', 'may-move'],
  top: ['may-move', 'interval', 'due-days', 'second-look', 'folded-clock'],
  tops: ['interval', 'due-days'],
  'visit-form': ['may-move', 'second-look'],
  'visit-parts': ['parts'],
  'visit-record': ['may-move', 'second-look'],
};

/** One rule behind a page: where its numbers stand, and whose word they and its sentences are. */
interface RuleBehind {
  readonly name: string;
  readonly href: string;
  readonly marks: string;
}

/** Where the numbers of a page come from: the rules by name, their marks, the places of their figures. */
export function numbersOf(page: keyof PageModels, voice: Voice): readonly RuleBehind[] {
  return kept(behind, `${page} ${voice.locale.tag}`, () =>
    (PAGE_RULES[page] ?? []).map((rule) => ({
      name: voice.say(`rule.${rule}`),
      href: `/settings/figures#rule-${rule}`,
      marks: `${marksOf(rule, voice)}. ${voice.say(`rule.${rule}.says`)}`,
    })),
  );
}

const behind = new Map<string, readonly RuleBehind[]>();

/** "75 numbers: shop rule; 1 number: common practice, no source" */
function marksOf(rule: string, { count, tell }: Voice): string {
  const { figures } = RULES.find(({ name }) => name === rule) ?? { figures: [] };
  const marks = figureNamesOf({ figures }).flatMap((name) => figureNamed(name)?.mark ?? []);
  return MARKS.flatMap((mark) => {
    const times = marks.filter((one) => one === mark).length;
    return times === 0 ? [] : [count('rule.numbers', times, { mark: tell(mark) })];
  }).join('; ');
}
