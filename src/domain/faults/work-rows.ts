import type { Part } from '../parts/kits.ts';
import type { FAULT_WORK_FIGURES } from './work-figures.ts';

/**
 * The order in which a top is put right: dry first, then the frame that everything hangs on, what lies
 * under the cover, the cover, and only then cables and settings, which follow the cloth. Frame before
 * cloth before cables: common practice of the trade, no source.
 */
export const STAGES = [
  'dry',
  'frame',
  'hydraulics',
  'metal',
  'inside',
  'cover',
  'window',
  'cables',
  'setting',
] as const;
export type Stage = (typeof STAGES)[number];

/** A part of the stock, or the repair set of whatever joint it is. */
export type NeededPart = Part | 'joint-set';

/** The work on one fault. */
export interface FaultWork {
  readonly fault: Exclude<keyof typeof FAULT_WORK_FIGURES, 'stripping'>;
  readonly stage: Stage;
  /** It can only be done with the cover off. */
  readonly strips?: true;
  /** The top is moved for it: not while it has to stay. */
  readonly movesTop?: true;
  /** It is done joint by joint. */
  readonly byJoint?: true;
  readonly parts: readonly NeededPart[];
}

/** The work on every fault, in the order in which it is done. Parts: common practice, no source. */
export const FAULT_WORK: readonly FaultWork[] = [
  { fault: 'salt-crust', stage: 'dry', parts: [] },
  { fault: 'drains-blocked', stage: 'dry', parts: [] },
  { fault: 'tailgate-seal-missing', stage: 'dry', parts: ['tailgate-seal'] },
  { fault: 'lining-water-line', stage: 'dry', parts: [] },
  { fault: 'mould', stage: 'dry', parts: [] },
  { fault: 'pivot-sheared', stage: 'frame', byJoint: true, parts: ['joint-set'] },
  { fault: 'pivot-seized', stage: 'frame', byJoint: true, parts: ['joint-set'] },
  { fault: 'pivot-stiff', stage: 'frame', movesTop: true, byJoint: true, parts: ['oil'] },
  { fault: 'washers-missing', stage: 'frame', byJoint: true, parts: ['washer-pair'] },
  { fault: 'hole-oval', stage: 'frame', byJoint: true, parts: ['joint-set'] },
  { fault: 'frame-shakes', stage: 'frame', parts: [] },
  { fault: 'frame-racks', stage: 'frame', parts: [] },
  { fault: 'pivot-arm-bent', stage: 'frame', parts: [] },
  { fault: 'frame-twisted', stage: 'frame', parts: [] },
  { fault: 'pivot-dry', stage: 'frame', parts: ['oil'] },
  { fault: 'power-supply-cut', stage: 'hydraulics', parts: [] },
  { fault: 'pump-motor-dead', stage: 'hydraulics', movesTop: true, parts: [] },
  { fault: 'ram-side-loaded', stage: 'hydraulics', parts: [] },
  { fault: 'fluid-leaking', stage: 'hydraulics', movesTop: true, parts: [] },
  { fault: 'ram-weak', stage: 'hydraulics', movesTop: true, parts: [] },
  { fault: 'hydraulics-slow', stage: 'hydraulics', movesTop: true, parts: [] },
  { fault: 'lid-not-releasing', stage: 'hydraulics', parts: [] },
  { fault: 'position-switch-out', stage: 'hydraulics', movesTop: true, parts: [] },
  { fault: 'bypass-open', stage: 'hydraulics', movesTop: true, parts: [] },
  { fault: 'header-rusted', stage: 'metal', strips: true, parts: [] },
  { fault: 'rear-channel-rusted', stage: 'metal', strips: true, parts: [] },
  { fault: 'hold-down-tab-rotted', stage: 'metal', parts: ['hold-down-tab'] },
  { fault: 'window-frame-rusted', stage: 'metal', parts: ['window-frame', 'window-seal'] },
  { fault: 'former-bodge', stage: 'inside', strips: true, parts: [] },
  { fault: 'sponge-as-padding', stage: 'inside', strips: true, parts: ['padding'] },
  { fault: 'padding-decayed', stage: 'inside', strips: true, parts: ['padding'] },
  { fault: 'bows-out-of-place', stage: 'inside', strips: true, parts: ['padding'] },
  { fault: 'retaining-strap-snapped', stage: 'inside', strips: true, parts: ['strap'] },
  { fault: 'elastic-strap-weak', stage: 'inside', parts: ['strap'] },
  { fault: 'lining-pocket-worn', stage: 'inside', parts: [] },
  { fault: 'lining-cut', stage: 'inside', strips: true, parts: ['lining'] },
  { fault: 'lining-stretched', stage: 'inside', parts: [] },
  { fault: 'cover-shrunk', stage: 'cover', strips: true, parts: ['cover'] },
  { fault: 'coating-porous', stage: 'cover', parts: ['proofer'] },
  { fault: 'vinyl-hard', stage: 'cover', movesTop: true, parts: [] },
  { fault: 'stitches-rotted', stage: 'cover', parts: [] },
  { fault: 'cover-worn-through', stage: 'cover', parts: [] },
  { fault: 'edges-flutter-worn', stage: 'cover', parts: [] },
  { fault: 'cold-shrink-back', stage: 'cover', movesTop: true, parts: [] },
  { fault: 'bonded-glass-lifting', stage: 'window', parts: ['rear-window'] },
  { fault: 'plastic-window-aged', stage: 'window', parts: ['rear-window'] },
  { fault: 'window-seal-leaking', stage: 'window', parts: ['window-seal'] },
  { fault: 'cable-pocket-open', stage: 'cables', parts: [] },
  { fault: 'tension-cable-broken', stage: 'cables', parts: ['cable-pair'] },
  { fault: 'side-glass-off', stage: 'setting', parts: [] },
  { fault: 'leak-beyond-weeping', stage: 'setting', parts: [] },
  { fault: 'latch-out-of-set', stage: 'setting', parts: [] },
];
