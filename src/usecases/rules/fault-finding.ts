import { z } from 'zod';
import { findFaults } from '../../domain/faults/find.ts';
import type { FaultAnswer, FaultRefusal, OwnFindings, Ticked } from '../../domain/faults/find.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

const signIds = z.array(z.string().min(1).max(80)).max(200);

/** The answer to the ticked signs; signs that cannot stand are refused where they stand. */
export function answerTo(ticked: Ticked, found: OwnFindings, own: OwnFigures): FaultAnswer {
  const answer = findFaults(ticked, found, figuresFor('faults', own));
  if ('refused' in answer) throw refusalOf(ticked, answer);
  return answer;
}

function refusalOf(ticked: Ticked, { refused, signs }: FaultRefusal): Refused {
  const faultsIn = (field: 'seen' | 'ruledOut') =>
    (ticked[field] ?? []).flatMap((sign, i) =>
      signs.includes(sign)
        ? [{ pointer: `#/${field}/${i}`, detail: `"${sign}": ${refused}. See the list of signs.` }]
        : [],
    );
  return new Refused({ kind: 'invalid', faults: [...faultsIn('seen'), ...faultsIn('ruledOut')] });
}

export const faultFinding: Rule = {
  name: 'fault-finding',
  does: 'Likely causes of the signs seen, the check that tells most, and what must not be done.',
  takes: '{seen: [sign], ruledOut?: [sign]}; the ids of the signs are at GET /v1/signs',
  gives:
    '{causes: [{id, name, chance, why}], nextCheck, remedy, mustNot, warnings, priors}; nothing is advised while nothing is seen',
  figures: ['faults'],
  trial: trialOf({
    input: z.strictObject({ seen: signIds, ruledOut: signIds.optional() }),
    answer: ({ seen, ruledOut = [] }, own) => answerTo({ seen, ruledOut }, {}, own),
    explain: ({ causes, nextCheck, remedy, mustNot, warnings }) => [
      ...causes.map(({ name, chance, why }) => `${Math.round(chance * 100)} % ${name}: ${why}`),
      ...(nextCheck === null
        ? ['no check would tell more']
        : [`next: ${nextCheck.text} (${nextCheck.gainBits.toFixed(2)} bits)`]),
      ...(remedy === null ? [] : [`remedy of the first: ${remedy}`]),
      ...mustNot.map((what) => `must not: ${what}`),
      ...warnings,
    ],
  }),
};
