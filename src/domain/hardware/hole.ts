import { type FigureTable, type FigureValues, valuesOf } from '../figures/figure.ts';
import { type Verdict, verdictOver, worstOf } from '../pivots/state.ts';
import { BUSH_FIGURES, type BushFigures, type HoleRepair, holeRepair, hundredths } from './bush.ts';
import { CLEARANCE_HOLES, type ClearanceHole, isThread, NOMINAL_MM, THREADS } from './iso-sizes.ts';

const playStep = (value: number, min: number, max: number) =>
  ({
    value,
    unit: 'mm',
    mark: 'shop rule',
    source:
      'play of a pivot in its hole: the steps of the radial play that is read with the pin in',
    min,
    max,
  }) as const;

const roundStep = (value: number, min: number, max: number) =>
  ({
    value,
    unit: 'mm',
    mark: 'shop rule',
    source: 'how far a hole may be out of round before a bush, and before weld or a new leaf',
    min,
    max,
  }) as const;

/** What turns a hole's size into a verdict. Only the sizes of ISO 273 are published. */
export const HOLE_FIGURES = {
  playWatchOver: playStep(0.25, 0.05, 0.4),
  playPlanOver: playStep(0.5, 0.4, 0.9),
  playActOver: playStep(1, 0.9, 3),
  roundWatchOver: roundStep(0.1, 0.02, 0.2),
  roundPlanOver: roundStep(0.3, 0.2, 0.6),
  roundActOver: roundStep(0.8, 0.6, 2),
  actBeyondCoarseMm: {
    value: 0.8,
    unit: 'mm',
    mark: 'shop rule',
    source: 'a fixing whose hole is worn so far past the coarse hole holds nothing any more',
    min: 0.1,
    max: 5,
  },
  callipersRepeatMm: {
    value: 0.02,
    unit: 'mm',
    mark: 'shop rule',
    source:
      'from memory: callipers repeat to 0.02 mm; a hole read that much narrower than its pin has no play',
    min: 0.01,
    max: 0.1,
  },
  plausibleTimesPin: {
    value: 2,
    unit: 'times the pin',
    mark: 'shop rule',
    source: 'a larger figure is taken for a slip of the pen',
    min: 1.5,
    max: 4,
  },
} as const satisfies FigureTable;

export type HoleFigures = FigureValues<typeof HOLE_FIGURES>;

/** A `pivot` turns on its pin; a `fixing` only holds two parts together and may have clearance. */
export const HOLE_USES = ['pivot', 'fixing'] as const;
export type HoleUse = (typeof HOLE_USES)[number];

export interface HoleReading {
  readonly thread: string;
  /** The hole across two directions at right angles, in mm, with the pin out. */
  readonly diametersMm: readonly [number, number];
  /** What the hole is for; a pivot where nobody says. */
  readonly use?: HoleUse | undefined;
  /** Width of the leaf across the hole, in mm, where it was measured: it limits the bush. */
  readonly leafWidthMm?: number | undefined;
}

export interface HoleVerdict {
  readonly use: HoleUse;
  readonly verdict: Verdict;
  readonly largestMm: number;
  /** The clearance holes of ISO 273, which are for fixings; null for a pivot. */
  readonly limitsMm: ClearanceHole | null;
  /** Largest diameter less the nominal pin; 0 where it was read narrower. */
  readonly playMm: number;
  readonly outOfRoundMm: number;
  readonly because: string;
}

/**
 * The verdict on a worn hole. A pivot is judged on its play and on how far it is out of round, the
 * worse of the two, so that it is never milder as either grows; the steps of play are those of the
 * radial play that is read with the pin in. A fixing is judged on its widest against the clearance
 * holes of ISO 273: `good` up to medium, `watch` up to coarse, `plan` past it, `act` far past it or
 * badly out of round. All steps are shop rules, only the hole sizes are published. A pivot that wants
 * work is told the bush that fits its hole, or that none does.
 *
 * A hole read narrower than its pin by no more than callipers repeat to has no play.
 *
 * Refused: a thread that the tables lack, and diameters further below the pin or beyond belief.
 */
export function holeVerdict(
  reading: HoleReading,
  values: HoleFigures = valuesOf(HOLE_FIGURES),
  bushes: BushFigures = valuesOf(BUSH_FIGURES),
): HoleVerdict | { readonly refused: string } {
  const { thread, use = 'pivot', leafWidthMm } = reading;
  if (!isThread(thread)) return { refused: `thread: one of ${THREADS.join(', ')}` };
  const pin = NOMINAL_MM[thread];
  const most = pin * values.plausibleTimesPin;
  const [a, b] = reading.diametersMm;
  // A sound hole is read wider or narrower than it is, but none is narrower than the pin in it.
  const least = hundredths(pin - values.callipersRepeatMm);
  if (![a, b].every((mm) => mm >= least && mm <= most)) {
    return {
      refused: `diametersMm: each from the pin of ${thread}, ${pin} mm, to ${most} mm: no hole is narrower than the pin that turns in it, but for the ${values.callipersRepeatMm} mm by which callipers may err`,
    };
  }
  const largestMm = Math.max(a, b);
  const playMm = Math.max(0, hundredths(largestMm - pin));
  const outOfRoundMm = hundredths(largestMm - Math.min(a, b));
  const sizes = `${largestMm} mm at its widest, ${playMm} mm of play on ${thread}`;
  const measured = { use, largestMm, playMm, outOfRoundMm };
  const cure = () =>
    cureOf(holeRepair({ thread, largestMm, outOfRoundMm, leafWidthMm }, bushes), leafWidthMm);
  return use === 'pivot'
    ? { ...measured, limitsMm: null, ...judgePivot(measured, sizes, values, cure) }
    : { ...measured, ...judgeFixing(measured, CLEARANCE_HOLES.rows[thread], sizes, values) };
}

type Measured = Pick<HoleVerdict, 'largestMm' | 'playMm' | 'outOfRoundMm'>;
type Judged = Pick<HoleVerdict, 'verdict' | 'because'>;

/** What makes a worn hole good, in few words: the bush that fits, or that none does. */
function cureOf(repair: HoleRepair, leafWidthMm: number | undefined): string {
  if (repair.how === 'bush') return `ream it to ${repair.outsideMm} mm for a bush`;
  const known =
    leafWidthMm === undefined ? ', as far as is known without the width of the leaf' : '';
  return `no bush fits${known}: weld and drill anew, or renew the leaf`;
}

function adviceOn(verdict: Verdict, cure: () => string): string {
  if (verdict === 'good') return 'leave it';
  if (verdict === 'watch') return 'measure again at the next visit';
  return verdict === 'plan' ? cure() : `do not use it: ${cure()}`;
}

function judgePivot(
  { playMm, outOfRoundMm }: Measured,
  sizes: string,
  v: HoleFigures,
  cure: () => string,
): Judged {
  const byPlay = verdictOver(playMm, v.playWatchOver, v.playPlanOver, v.playActOver);
  const byRound = verdictOver(outOfRoundMm, v.roundWatchOver, v.roundPlanOver, v.roundActOver);
  const verdict = worstOf(byPlay, byRound);
  const because = `${sizes} (${byPlay}), ${outOfRoundMm} mm out of round (${byRound}): ${adviceOn(verdict, cure)}`;
  return { verdict, because };
}

function judgeFixing(
  { largestMm, outOfRoundMm }: Measured,
  limitsMm: ClearanceHole,
  sizes: string,
  v: HoleFigures,
): Judged & Pick<HoleVerdict, 'limitsMm'> {
  const beyond = hundredths(largestMm - limitsMm.coarse);
  if (largestMm <= limitsMm.medium) {
    return { limitsMm, verdict: 'good', because: `${sizes}: within medium ${limitsMm.medium}` };
  }
  if (beyond <= 0) {
    return { limitsMm, verdict: 'watch', because: `${sizes}: within coarse ${limitsMm.coarse}` };
  }
  const past = `${sizes}: past coarse ${limitsMm.coarse}, ${outOfRoundMm} mm out of round`;
  const gone = beyond > v.actBeyondCoarseMm || outOfRoundMm > v.roundActOver;
  const verdict = gone ? 'act' : 'plan';
  const advised = gone ? 'weld and drill anew, or a new part' : 'a larger fixing, or a new part';
  return { limitsMm, verdict, because: `${past}: ${advised}` };
}
