import type { PlannedPart, PlannedWork, WorkPlan } from '../faults/work-plan.ts';
import type { Part } from '../parts/kits.ts';
import type { LineKind } from './estimate.ts';
import type { WorkWords } from './german-work.ts';
import { GERMAN_JOINT_SET, GERMAN_PARTS, GERMAN_WORK } from './german-work.ts';

/** A line as it is proposed from a plan, to be put right by whoever makes the estimate. */
export interface DraftLine {
  readonly kind: LineKind;
  readonly work: number;
  readonly text: string;
  /** In hundredths of an hour or a piece. */
  readonly quantity: number;
  readonly unitPrice: number | null;
  readonly fault: string | null;
  readonly pivots: readonly string[];
  readonly findings: readonly string[];
  readonly part: Part | null;
  readonly strips: boolean;
}

/** A finding that the plan stands for, or one that no row of the plan fits. */
export interface PlannedFinding {
  readonly id: string;
  readonly fault: string | null;
  readonly pivot: string | null;
  readonly text: string;
}

/** How an estimate speaks to its reader. */
export interface DraftWords {
  /** A joint by its code, as owners call it. */
  readonly joint: (code: string) => string;
  readonly coverOff: string;
  /** What was found and what is done, and what a part is called. */
  readonly work: (step: Pick<PlannedWork, 'fault' | 'name' | 'work'>) => WorkWords;
  readonly part: (part: Pick<PlannedPart, 'part' | 'label'>) => string;
}

/** The languages that lines are drafted in; whoever reads another gets them in English. */
export function speaksWork(language: string): boolean {
  return /^(en|de)\b/.test(language);
}

/** The words for work and parts in a language: German, else the English of the rules themselves. */
export function workWordsIn(language: string): Pick<DraftWords, 'work' | 'part'> {
  if (!/^de\b/.test(language)) {
    return { work: ({ name, work }) => ({ name, work }), part: ({ label }) => label };
  }
  const german: Readonly<Record<string, WorkWords>> = GERMAN_WORK;
  return {
    work: ({ fault, name, work }) => german[fault] ?? { name, work },
    part: ({ part }) => (part === null ? GERMAN_JOINT_SET : GERMAN_PARTS[part]),
  };
}

/** The organisation's own prices. */
export interface OwnPrices {
  readonly hourRate: number | null;
  readonly priceOf: (part: Part) => number | null;
}

/**
 * The lines of an estimate for a plan: each piece of work by its hours, its parts behind it, and taking
 * the cover off once. A finding that the plan has no row for is a line without hours or price, since
 * nobody but the shop knows what it takes.
 */
export function draftLines(
  plan: WorkPlan,
  findings: readonly PlannedFinding[],
  { hourRate, priceOf }: OwnPrices,
  words: DraftWords,
): DraftLine[] {
  const planned = new Set(
    plan.steps.flatMap(({ fault, also }) => [fault, ...also.map((o) => o.fault)]),
  );
  const idsOf = (faults: readonly string[]) =>
    findings.filter(({ fault }) => fault !== null && faults.includes(fault)).map(({ id }) => id);
  const work = plan.steps.flatMap((step, i): DraftLine[] => {
    const number = i + 1;
    const { name, work: done } = words.work(step);
    const at = step.joints.length === 0 ? '' : ` (${step.joints.map(words.joint).join(', ')})`;
    return [
      {
        ...EMPTY,
        kind: 'work',
        work: number,
        text: `${name.slice(0, 1).toUpperCase()}${name.slice(1)}${at}: ${done}`,
        quantity: hundredths(step.hours),
        unitPrice: hourRate,
        fault: step.fault,
        pivots: step.joints,
        findings: idsOf([step.fault, ...step.also.map(({ fault }) => fault)]),
        strips: step.strips,
      },
      ...step.parts.map(({ part, label, quantity }): DraftLine => ({
        ...EMPTY,
        kind: 'part',
        work: number,
        text: words.part({ part, label }),
        quantity: quantity * 100,
        unitPrice: part === null ? null : priceOf(part),
        part,
      })),
    ];
  });
  const others = findings
    .filter(({ fault }) => fault === null || !planned.has(fault))
    .map(({ id, pivot, text }, i): DraftLine => ({
      ...EMPTY,
      kind: 'work',
      work: plan.steps.length + i + 1,
      text,
      pivots: pivot === null ? [] : [pivot],
      findings: [id],
    }));
  const coverOff: DraftLine[] =
    plan.strippingHours === 0
      ? []
      : [
          {
            ...EMPTY,
            kind: 'cover-off',
            text: words.coverOff,
            quantity: hundredths(plan.strippingHours),
            unitPrice: hourRate,
          },
        ];
  return [...coverOff, ...work, ...others];
}

const EMPTY = {
  work: 0,
  quantity: 0,
  unitPrice: null,
  fault: null,
  pivots: [],
  findings: [],
  part: null,
  strips: false,
} as const;

/** Hours of a figure, which an organisation may set to any fraction, as estimates count them. */
function hundredths(hours: number): number {
  return Math.round(hours * 100);
}
