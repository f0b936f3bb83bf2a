import type { TaxRate } from '../money/amount.ts';
import type { Hundredths } from '../money/sums.ts';
import { lineAmount, taxOn } from '../money/sums.ts';

export const ESTIMATE_STATES = ['draft', 'sent', 'answered', 'replaced', 'withdrawn'] as const;
export type EstimateState = (typeof ESTIMATE_STATES)[number];

/** Work has its parts behind it; taking the cover off is done once for all work that asks for it. */
export const LINE_KINDS = ['work', 'part', 'cover-off'] as const;
export type LineKind = (typeof LINE_KINDS)[number];

export const ANSWERS = ['accepted', 'declined'] as const;
export type EstimateAnswer = (typeof ANSWERS)[number];

/** A line of an estimate, as far as sums and answers go by it. */
export interface PricedLine {
  readonly kind: LineKind;
  /** The piece of work that it belongs to; of no meaning where the cover comes off. */
  readonly work: number;
  readonly quantity: Hundredths;
  /** In the smallest unit of the currency, without tax; null while nobody has said it. */
  readonly unitPrice: number | null;
  /** Work that can only be done with the cover off. */
  readonly strips: boolean;
  /** At the line of the work alone. */
  readonly answer: EstimateAnswer | null;
}

/** Sums in the smallest unit of the currency. */
export interface EstimateSum {
  readonly net: number;
  /** Null where no tax is added. */
  readonly tax: number | null;
  readonly total: number;
}

/** What a line comes to; nothing while its price is not said. */
export function amountOf({ quantity, unitPrice }: PricedLine): number {
  return unitPrice === null ? 0 : lineAmount(quantity, unitPrice);
}

/** The sum of lines: each rounded by itself, the tax once on all of them. */
export function sumOf(lines: readonly PricedLine[], taxRate: TaxRate | null): EstimateSum {
  const net = lines.reduce((sum, line) => sum + amountOf(line), 0);
  const tax = taxRate === null ? null : taxOn(net, taxRate);
  return { net, tax, total: net + (tax ?? 0) };
}

/**
 * The lines that remain of an estimate once only some of its work is wanted: that work with its parts,
 * and taking the cover off as long as some of it asks for that.
 */
export function wantedLines<Line extends PricedLine>(
  lines: readonly Line[],
  wanted: ReadonlySet<number>,
): Line[] {
  const strips = lines.some(
    ({ kind, work, strips: under }) => kind === 'work' && under && wanted.has(work),
  );
  return lines.filter(({ kind, work }) => (kind === 'cover-off' ? strips : wanted.has(work)));
}

/** The pieces of work that were agreed to. */
export function agreedWork(lines: readonly PricedLine[]): Set<number> {
  return new Set(
    lines.flatMap(({ kind, work, answer }) =>
      kind === 'work' && answer === 'accepted' ? [work] : [],
    ),
  );
}

/** Heaps that somebody looks for an estimate in. */
export const ESTIMATE_HEAPS = ['waiting', 'draft', 'accepted', 'declined', 'ended'] as const;
export type EstimateHeap = (typeof ESTIMATE_HEAPS)[number];

/** Where an estimate lies: accepted as soon as any of its work was agreed to. */
export function heapOf(estimate: {
  readonly state: EstimateState;
  readonly lines: readonly PricedLine[];
}): EstimateHeap {
  switch (estimate.state) {
    case 'draft':
      return 'draft';
    case 'sent':
      return 'waiting';
    case 'answered':
      return agreedWork(estimate.lines).size > 0 ? 'accepted' : 'declined';
    case 'replaced':
    case 'withdrawn':
      return 'ended';
  }
}
