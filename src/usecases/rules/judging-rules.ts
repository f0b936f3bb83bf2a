import type { Rule } from './rule.ts';

const judging = (rule: Omit<Rule, 'trial'>): Rule => ({ ...rule, trial: null });

/** Rules that judge the records of an organisation; each is seen at work where `gives` says. */
export const JUDGING_RULES: readonly Rule[] = [
  judging({
    name: 'pivot-verdict',
    does: 'Judges a pivot by its state, its washers and its play, and names the days it meets a limit.',
    takes: 'the readings of a pivot since its last repair',
    gives: 'GET /v1/tops/{id}/pivots, items',
    figures: ['pivots'],
  }),
  judging({
    name: 'round',
    does: 'Which letters are owed, and for how long a missed one is still worth writing.',
    takes: 'due days, clocks, warranties and what was written before',
    gives: 'POST /v1/round',
    figures: ['round', 'folding', 'due'],
  }),
  judging({
    name: 'care-advice',
    does: 'Which advice a care note carries, by season, event, material, window and keeping.',
    takes: 'what is known of a top and what its owner was told before',
    gives: 'letters of the kind care-note',
    figures: ['advice'],
  }),
  judging({
    name: 'fold-floor',
    does: 'The lowest temperature at which a top should be folded; a handbook always wins.',
    takes: 'cover material, window and its age',
    gives: 'advice on folding in the cold',
    figures: ['foldFloor'],
  }),
  judging({
    name: 'repair-set',
    does: 'What the repair of a pivot or of a whole frame takes, with sizes from the ISO tables.',
    takes: 'kind of the pivot, thread, and its hole where it was measured',
    gives: 'GET /v1/tops/{id}/repair-set',
    figures: ['hardware'],
  }),
  judging({
    name: 'address-standing',
    does: 'When an address counts as dead, and how long what came back from it is remembered.',
    takes: 'reports of letters that came back',
    gives: 'why an owner gets no mail',
    figures: ['standing'],
  }),
  judging({
    name: 'care-day',
    does: 'Who comes when on a care day: benches, helpers and pauses, one car at a bench, one job at a time.',
    takes: 'a day with its benches, helpers and pauses, and the cars that are to come',
    gives: 'the rota of a care day',
    figures: ['careDay'],
  }),
  judging({
    name: 'estimate',
    does: 'What open work costs: hours by the rate and parts by their prices, each line rounded once, half up.',
    takes: 'the open work of a car, the hour, the tax and the prices of parts',
    gives: 'an estimate, which its owner accepts or declines',
    figures: ['estimate'],
  }),
  judging({
    name: 'retention',
    does: 'How long position logs, words of letters, visits past care, the sign-in log and the trail are kept.',
    takes: 'months for each kind; 0 keeps it until it is erased',
    gives: 'what the clock takes out, and the page that says so',
    figures: ['retention'],
  }),
  judging({
    name: 'practice',
    does: 'Cars in care and visits a week over the coming years, with their spread.',
    takes: 'tops fitted a year and how many come back',
    gives: 'the forecast of the practice',
    figures: ['practice'],
  }),
];
