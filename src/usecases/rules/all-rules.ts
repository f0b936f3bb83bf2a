import { benchLoad } from './bench-load.ts';
import { callOrder } from './call-order.ts';
import { corrosion } from './corrosion.ts';
import { dueDays } from './due-days.ts';
import { faultFinding } from './fault-finding.ts';
import { marksInWords } from './figures-of-rule.ts';
import { foldedClock } from './folded-clock.ts';
import { frame } from './frame.ts';
import { hole } from './hole.ts';
import { interval } from './interval.ts';
import { intervalLife } from './interval-life.ts';
import { JUDGING_RULES } from './judging-rules.ts';
import { mayMove } from './may-move.ts';
import { parts } from './parts.ts';
import { repairHole } from './repair-hole.ts';
import type { Rule, Trial } from './rule.ts';
import { secondLook } from './second-look.ts';
import { survival } from './survival.ts';
import { trend } from './trend.ts';
import { wear } from './wear.ts';
import { weibull } from './weibull.ts';

/** Every rule, those that can be tried alone first. */
export const RULES: readonly Rule[] = [
  mayMove,
  callOrder,
  dueDays,
  corrosion,
  interval,
  secondLook,
  foldedClock,
  trend,
  wear,
  benchLoad,
  parts,
  survival,
  weibull,
  intervalLife,
  hole,
  repairHole,
  frame,
  faultFinding,
  ...JUDGING_RULES,
];

/** A rule that can be tried alone, with its trial. */
export type TriableRule = Rule & { readonly trial: Trial };

/** The rules that can be tried alone, in the order in which they are listed. */
export const TRIABLE_RULES: readonly TriableRule[] = RULES.flatMap((rule) =>
  rule.trial === null ? [] : [{ ...rule, trial: withMarks(rule, rule.trial) }],
);

/** The sum of a rule ends with the marks of the numbers behind it. */
function withMarks(rule: Rule, trial: Trial): Trial {
  const marks = marksInWords(rule);
  return {
    get schema() {
      return trial.schema;
    },
    run(input, own) {
      const { answer, words } = trial.run(input, own);
      return { answer, words: [...words, ...marks] };
    },
  };
}

/** The rule of that name, or short name, if it can be tried alone. */
export function triableRule(name: string): TriableRule | undefined {
  return TRIABLE_RULES.find((rule) => rule.name === name || rule.short === name);
}
