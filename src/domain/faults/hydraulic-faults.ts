import { fault, type Fault, onceTold, type Said } from './fault.ts';

const UNREAD: Said = { mark: 'from memory', source: 'no source looked up' };

/**
 * Faults of powered tops. Whatever is tried on one: nobody reaches into it while it stands half way,
 * pressure is let off before a line is opened, and the handbook's emergency procedure comes first.
 */
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
    mustNot: 'mix fluids, overfill, keep pumping dry, or reach into a top that stands half way',
    ...onceTold("one maker's repair-manual pages of the 2000s"),
    numbers: [
      { text: '10.5 to 16 V', ...onceTold("one maker's repair-manual pages") },
      { text: '12.6 V', ...onceTold("one maker's repair-manual pages") },
    ],
    signs: {
      'motor-runs-nothing-moves': 'sometimes',
      'folds-unevenly': 'seldom',
      'click-and-silence': 'seldom',
      'stops-at-one-place': 'seldom',
    },
  }),
  fault({
    id: 'bypass-open',
    item: 'bypass left open after folding by hand',
    sign: 'motor-runs-nothing-moves',
    means: 'the bypass screw of the pump is still open',
    proof: 'bypass-open',
    remedy: 'close it (one maker: 2 N·m) and let the top run through',
    mustNot: 'force the frame by hand while the bypass is shut',
    ...onceTold("one maker's repair-manual pages of the 2000s"),
    numbers: [{ text: '2 N·m', ...onceTold("one maker's repair-manual pages") }],
    signs: {},
  }),
  fault({
    id: 'ram-side-loaded',
    item: 'side load on a ram pivot',
    sign: 'ram-boss-cracked',
    means: 'a gap at its pivot, over 1.6 mm by one maker, loads the boss from the side',
    proof: 'ram-gap-over-limit',
    remedy: 'shim the bracket or drill it anew',
    mustNot: 'leave the side load',
    ...onceTold("one maker's service bulletin of the 1980s"),
    numbers: [{ text: '1.6 mm', ...onceTold("one maker's service bulletin of the 1980s") }],
    signs: { 'power-top-slow': 'seldom', 'folds-unevenly': 'seldom' },
  }),
  fault({
    id: 'fluid-leaking',
    item: 'leak of the hydraulics',
    sign: 'fluid-traces',
    means: 'a seal, hose or pipe lets fluid out; what is missing is replaced by air',
    proof: 'leak-comes-again',
    remedy:
      'a new seal, hose or ram at that place; the fluid that the maker names, bled, and its level ' +
      'checked again with the top down',
    mustNot:
      'feel for a leak with the hand, open a line that may be under pressure, or pump it dry; a top ' +
      'that has to be shut meanwhile goes by the emergency procedure of its handbook',
    ...UNREAD,
    signs: {
      'power-top-slow': 'sometimes',
      'motor-runs-nothing-moves': 'seldom',
      'sinks-half-way': 'sometimes',
    },
  }),
  fault({
    id: 'ram-weak',
    item: 'weak hydraulic ram',
    sign: 'sinks-half-way',
    means: 'worn seals let the fluid slip past the piston',
    proof: 'ram-gives-way',
    remedy: 'seal or renew the ram and look at that of the other side; bleed, and check the level',
    mustNot: 'reach into a top that stands half way, or prop it by hand: it sinks by itself',
    ...UNREAD,
    signs: {
      'power-top-slow': 'sometimes',
      'one-side-lags': 'sometimes',
      'folds-unevenly': 'sometimes',
      'fluid-traces': 'sometimes',
    },
  }),
  fault({
    id: 'power-supply-cut',
    item: 'no current at the motor',
    sign: 'all-silent-at-switch',
    means:
      'a fuse, the relay, the switch, a cable or a flat battery keeps the current from the motor',
    proof: 'no-supply-at-motor',
    remedy:
      'a fuse of the same rating, the relay, switch or cable, or a full battery; find out what ' +
      'blew the first fuse before the second goes in',
    mustNot:
      'bridge the relay or fit a stronger fuse: nothing would stop the top then; a top that stands ' +
      'half way is brought home by the emergency procedure of its handbook first',
    ...UNREAD,
    signs: { 'click-and-silence': 'sometimes' },
  }),
  fault({
    id: 'pump-motor-dead',
    item: 'dead motor of the pump',
    sign: 'click-and-silence',
    means: 'the motor is worn out, lacks its ground, or has stood in water from a blocked drain',
    proof: 'supply-and-still-silent',
    remedy:
      'clean its ground first; then a new motor or pump, and clear drains if it stood in water',
    mustNot: 'hold the switch or knock on the motor until it runs: it will stop half way',
    ...UNREAD,
    signs: { 'all-silent-at-switch': 'sometimes', 'slosh-and-wet-carpet': 'seldom' },
  }),
  fault({
    id: 'position-switch-out',
    item: 'position switch or sensor out',
    sign: 'stops-at-one-place',
    means:
      'a small switch or sensor does not tell the control that lid, latch or luggage cover is where ' +
      'it should be',
    proof: 'position-switch-says-wrong',
    remedy: 'set, clean or renew it and its plug, and let the top run through',
    mustNot: 'bridge it: the top would run into a lid that is shut',
    ...UNREAD,
    signs: {
      'all-silent-at-switch': 'often',
      'lid-stays-shut': 'sometimes',
    },
  }),
  fault({
    id: 'lid-not-releasing',
    item: 'lid that does not release',
    sign: 'lid-stays-shut',
    means:
      'its lock, cable or ram sticks, its striker is out of set, or the frame presses against it',
    proof: 'lid-lock-holds',
    remedy: 'stow first what stands proud under it; then free and set lock, cable and striker',
    mustNot:
      'lever it open, press it shut over the frame, or reach under it: it moves without warning',
    ...UNREAD,
    signs: { 'stops-at-one-place': 'sometimes', 'hoop-stands-proud': 'seldom' },
  }),
];
