import { fault, type Fault } from './fault.ts';

/** Faults of powered tops. */
export const HYDRAULIC_FAULTS: readonly Fault[] = [
  fault({
    id: 'hydraulics-slow',
    item: 'slow hydraulics',
    sign: 'power-top-slow',
    means:
      'too little fluid, air in it, or low voltage (it wants 10.5 to 16 V; under 12.6 V it is slow)',
    proof: 'fluid-or-voltage-low',
    remedy:
      'find the leak, the right fluid, bleed, check the level again; a thin film at a rod is normal',
    mustNot: 'mix fluids, overfill, or keep pumping dry',
    mark: 'published, secondary copy',
    source: "a US maker's repair-manual pages of the 2000s",
    signs: { 'motor-runs-nothing-moves': 'sometimes', 'folds-unevenly': 'seldom' },
  }),
  fault({
    id: 'bypass-open',
    item: 'bypass left open after folding by hand',
    sign: 'motor-runs-nothing-moves',
    means: 'the bypass screw of the pump is still open',
    proof: 'bypass-open',
    remedy: 'close it (one maker: 2 N·m) and let the top run through',
    mustNot: 'force the frame by hand while the bypass is shut',
    mark: 'published, secondary copy',
    source: "a US maker's repair-manual pages of the 2000s",
    signs: {},
  }),
  fault({
    id: 'ram-side-loaded',
    item: 'side load on a ram pivot',
    sign: 'ram-boss-cracked',
    means: 'a wrong clearance loads the boss from the side',
    proof: 'ram-gap-over-limit',
    remedy: 'shim the bracket or drill it anew',
    mustNot: 'leave the side load',
    mark: 'published, secondary copy',
    source: "a US maker's service bulletin of the 1980s, which allows 1.6 mm",
    signs: { 'power-top-slow': 'seldom', 'folds-unevenly': 'seldom' },
  }),
];
