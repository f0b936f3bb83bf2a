import { z } from 'zod';
import type { FaultAnswer, FaultRefusal, KnownBefore } from '../../domain/faults/find.ts';
import { findFaults } from '../../domain/faults/find.ts';
import { saidOf } from '../../domain/faults/fault-rows.ts';
import type { Ticked } from '../../domain/faults/judgement.ts';
import type { WorkPlan } from '../../domain/faults/work-plan.ts';
import { workPlan } from '../../domain/faults/work-plan.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const signIds = z.array(z.string().min(1).max(80)).max(200);

/** What is known of a top before anybody looks at it. */
export const topTraits = z.strictObject({
  material: z.enum(['vinyl', 'cloth']).optional(),
  window: z.enum(['glass', 'glass-bonded', 'clear-vinyl']).optional(),
  powered: z.boolean().optional(),
});

/** The answer to the ticked signs; signs that cannot stand are refused where they stand. */
export function answerTo(ticked: Ticked, known: KnownBefore, own: OwnFigures): FaultAnswer {
  const answer = findFaults(ticked, known, figuresFor('faults', own));
  if ('refused' in answer) throw refusalOf({ ...ticked, skipped: known.skipped }, answer);
  return answer;
}

/** The work on what was found, with the organisation's own hours. */
export function planFor(
  { remedies }: FaultAnswer,
  known: Parameters<typeof workPlan>[1],
  own: OwnFigures,
): WorkPlan {
  return workPlan(remedies, known, figuresFor('faultWork', own));
}

function refusalOf(
  ticked: Ticked & Pick<KnownBefore, 'skipped'>,
  { signs }: FaultRefusal,
): Refused {
  const faultsIn = (field: 'seen' | 'ruledOut' | 'skipped') =>
    (ticked[field] ?? []).flatMap((sign, i) =>
      signs.includes(sign) ? [{ pointer: `#/${field}/${i}`, detail: whyNot(sign, ticked) }] : [],
    );
  const faults = [...faultsIn('seen'), ...faultsIn('ruledOut'), ...faultsIn('skipped')];
  return new Refused({ kind: 'invalid', faults });
}

function whyNot(sign: string, { seen, ruledOut = [] }: Ticked): string {
  return seen.includes(sign) && ruledOut.includes(sign)
    ? `"${sign}" is both seen and ruled out. Leave it in one of the two.`
    : `"${sign}" is no sign of the list. GET /v1/signs has them all.`;
}

export const faultFinding: Rule = {
  name: 'fault-finding',
  short: 'faults',
  does: 'What is wrong, several faults at once, the check that tells most, and the work in its order.',
  takes:
    '{seen: [sign], ruledOut?: [sign], skipped?: [sign], top?: {material, window, powered}, mustStay?}; the ids of the signs are at GET /v1/signs',
  gives:
    '{causes: [{id, name, chance, standing, why}], ruledOut, unexplained, nextCheck, alsoLook, remedy, remedies, mustNot, leaveIt, ifStuck, warnings, priors, plan: {steps, strippingHours, hours, parts}}; nothing is advised while nothing is seen',
  figures: ['faults', 'faultWork'],
  trial: trialOf({
    input: z.strictObject({
      seen: signIds,
      ruledOut: signIds.optional(),
      skipped: signIds.optional(),
      top: topTraits.optional(),
      mustStay: z.boolean().optional(),
    }),
    answer: ({ seen, ruledOut = [], ...known }, own) => {
      const answer = answerTo({ seen, ruledOut }, known, own);
      const mustStay = known.mustStay === true || answer.leaveIt !== null;
      return { ...answer, plan: planFor(answer, { ...known, mustStay }, own) };
    },
    explain: (
      { causes, nextCheck, alsoLook, remedies, mustNot, leaveIt, ifStuck, warnings, plan, ...told },
      { seen },
    ) => [
      ...(leaveIt === null ? [] : [leaveIt]),
      ...(ifStuck === null ? [] : [ifStuck]),
      ...told.contradictions,
      ...causes.map(
        ({ id, name, chance, standing, why }) =>
          `${Math.round(chance * 100)} % (shop rule) ${name} (${standing}): ${why} (${saidOf(id)})`,
      ),
      ...told.ruledOut.map(({ name }) => `ruled out: ${name}`),
      ...told.unexplained.map(({ text }) => `not explained: ${text}`),
      ...(nextCheck === null
        ? [
            seen.length === 0
              ? 'nothing is seen: tick what shows first'
              : 'no check would tell more',
          ]
        : [
            `next: ${nextCheck.text} (${nextCheck.minutes} min, shop rule; ${nextCheck.gainBits.toFixed(2)} bits)`,
          ]),
      ...alsoLook.map(({ text, foundWith, fault }) => `also, ${foundWith} and ${fault}: ${text}`),
      ...remedies.map(({ name, text, proveFirst }) =>
        proveFirst === null ? `${name}: ${text}` : `${name}: first ${proveFirst}; then ${text}`,
      ),
      ...mustNot.map((what) => `must not: ${what}`),
      ...warnings,
      ...(plan.steps.length === 0
        ? []
        : [
            `work, ${plan.hours} h with ${plan.strippingHours} h to take the cover off (shop rule): ${plan.steps.map(({ name, hours }) => `${name} ${hours} h`).join(', ')}`,
          ]),
    ],
  }),
};
