/** Where on the car a sign is met, in the order in which an inspection walks. */
export const PLACES = [
  'walk-round',
  'inside',
  'unlatch',
  'half-open',
  'folded',
  'tailgate',
  'drains',
  'hydraulics',
] as const;

export type Place = (typeof PLACES)[number];

/** What a check costs the shop, by the name of its figure. */
export type Effort = 'glance' | 'hand' | 'tool' | 'water' | 'warmth' | 'standing';

/** Something that can be ticked: seen at a look, or the positive result of a check. */
export interface Sign {
  readonly id: string;
  readonly place: Place;
  readonly text: string;
  readonly effort: Effort;
  /** How the check is done; a sign without it is seen at a look. */
  readonly how?: string;
  /** Only whoever drives the car can say. */
  readonly asked?: true;
  /** The check raises, folds, latches or swings the top: not to be asked of one that must stay. */
  readonly moves?: true;
}

type Unplaced = Omit<Sign, 'place'>;

function look(id: string, text: string): Unplaced {
  return { id, text, effort: 'glance' };
}

function check(id: string, text: string, how: string, effort: Effort): Unplaced {
  return { id, text, how, effort };
}

/** What happens on the road, in the rain or in the cold: the owner is asked. */
function asked(id: string, text: string): Unplaced {
  return { ...look(id, text), asked: true };
}

/** A check by the owner's telling or at the switch, with nobody in reach: the motor may start. */
const AT_THE_SWITCH = 'with nobody in reach and the battery switch at hand';

/** What shows only while the top is moved or latched. */
function inMotion(id: string, text: string): Unplaced {
  return { ...look(id, text), moves: true };
}

/** A check for which the top has to be moved. */
function moving(id: string, text: string, how: string, effort: Effort): Unplaced {
  return { id, text, how, effort, moves: true };
}

function placed(place: Place, at: readonly Unplaced[]): Sign[] {
  return at.map((sign) => ({ ...sign, place }));
}

const walkRound: readonly Unplaced[] = [
  look('edge-arched-over-side-glass', 'the edge above the side windows is drawn up in an arch'),
  look('side-edge-loose', 'the side edge hangs loose or slack above the door glass'),
  asked('flutter-at-speed', 'the side edge flutters at speed'),
  look('cable-hangs-over-door', 'the side cable shows or hangs in a loop over the door'),
  look('cover-board-like', 'the vinyl feels like board and is finely cracked along the folds'),
  look('thread-missing', 'stitches are missing along a seam'),
  look('cover-feels-mushy', 'the cover feels spongy and smells musty'),
  look('window-frame-blisters', 'rust blisters at the bottom edge or corners of the window frame'),
  look('glass-edge-free', 'the edge of the bonded glass has come away from the cloth'),
  look('window-hazed', 'the plastic window is yellow, hazy or split at the fold'),
  look('rear-hem-lifting', 'the rear hem lifts, or paint bubbles beside its channel'),
  look('corner-screw-rattles', 'the screw at a rear corner rattles, or its hole is torn'),
  look('wrinkles-and-bow-prints', 'wrinkles, low spots, or the bows show through the cover'),
  look('front-edge-lumpy', 'the front edge is lumpy or the latch plates are loose'),
  look('frayed-worn-edges', 'frayed edges, loose threads, worn spots on the cover'),
  look('pin-hole-over-joint', 'a small hole in the cover right above a joint'),
  look('white-grit-on-edges', 'white grit where the top rests on the body'),
  look('glued-and-taped', 'edges glued down everywhere, tape under the cover'),
  check(
    'cloth-stays-up',
    'warm, with cable and spring whole, the cloth still does not come down',
    'when it is warm, unhook the side spring, look at cable and spring, and try to draw the edge down by hand',
    'tool',
  ),
  moving(
    'fits-when-warm',
    'once warm the top reaches and latches as it should',
    'warm the top in the sun or with heat inside, and latch it again',
    'warmth',
  ),
  check(
    'spoonful-soaks-in',
    'a spoonful of water soaks in',
    'put a spoonful of water on the clean, dry cover and wait some minutes',
    'tool',
  ),
  check(
    'hem-crazes',
    'a free hem edge crazes when it is bent warm',
    'bend a free edge of the hem while it is warm',
    'hand',
  ),
  check(
    'thread-breaks',
    'the thread breaks at a gentle pull',
    'lift a stitch carefully with a blunt needle',
    'hand',
  ),
  check(
    'cable-whole-out-of-pocket',
    'the cable is whole, only its pocket has opened',
    'draw the cloth aside and follow the cable along its sewn pocket',
    'hand',
  ),
  check(
    'cable-end-frayed',
    'a frayed end is felt, or the fixing screw of the cable is out',
    'compare both sides; feel for the cable end; look at its front and rear screws',
    'hand',
  ),
  check(
    'cold-and-wet-when-pressed',
    'the padding is cold and wet when pressed',
    'press the padding through the cover, smell, and take a moisture reading',
    'hand',
  ),
  check(
    'window-flange-thin',
    'under the seal the flange is rusted thin or flaking',
    'turn back the lip of the window seal and probe the flange',
    'hand',
  ),
  check(
    'nail-lifts-glass-edge',
    'a finger-nail goes under the edge of the glass',
    'run a finger-nail along the edge of the bonded glass',
    'glance',
  ),
  check(
    'view-distorted',
    'seen at an angle the window is clouded or crazed',
    'look through the plastic window at a flat angle',
    'glance',
  ),
  check(
    'channel-soft',
    'the cable channel gives way under the probe',
    'lift the hem carefully and probe the channel with a torch',
    'tool',
  ),
  moving(
    'screw-rocks',
    'the corner screw rocks as the front is lifted',
    'watch the corner screw while someone lifts the front of the top',
    'hand',
  ),
  check(
    'bow-spacing-off',
    'the bows are not at their recorded distances',
    'measure from bow to bow and compare with the record of this pattern',
    'tool',
  ),
  check(
    'header-soft',
    'the front rail sounds dull or gives way',
    'tap and probe the hollow front rail; use a borescope if there is one',
    'hand',
  ),
  moving(
    'wear-follows-folds',
    'the worn places match the lines of the folded cover',
    'fold slowly and match the worn places to the folds that lie outside',
    'tool',
  ),
  check(
    'finger-wipe-gritty',
    'a wiped finger comes away with salt',
    'wipe a finger along the edge where the top rests',
    'glance',
  ),
  check(
    'glue-strings',
    'old glue draws strings or smells under the edge',
    'lift a loose edge a little; look for strings of glue and smell',
    'hand',
  ),
];

const inside: readonly Unplaced[] = [
  asked(
    'dark-patch-after-rain',
    'a dark patch on the lining after rain; drops do not bead outside',
  ),
  look('dry-crumbs', 'dry fibrous crumbs on the rear shelf or seat'),
  look('lining-off-its-stick', 'the lining hangs off a stick, or is holed and thin at its corners'),
  look('lining-sags-or-cut', 'the lining sags between sticks, or shows a knife line near the edge'),
  look('lining-grey-and-baggy', 'the lining is grey and baggy at the rear'),
  look('brown-tide-marks', 'brown tide marks on the lining'),
  look('damp-rear-shelf', 'damp shelf or whistle at the rear window; its lip does not lie flat'),
  asked('whistle-at-one-spot', 'wind whistles at one spot of a side window'),
  asked('drops-inside-glass', 'drops run down inside the side glass'),
  look('black-dots', 'black dots and a mouldy smell'),
  check(
    'lumps-in-padding',
    'lumps are felt, or the padding falls apart behind the lining',
    'feel the padding through the cover, or lift a corner of the lining',
    'hand',
  ),
  check(
    'pocket-thin-against-light',
    'the pocket cloth is thin or holed against the light',
    'hold a lamp behind each sewn pocket of the lining',
    'hand',
  ),
  check(
    'light-shows-a-cut',
    'light behind the lining shows a straight cut or bare old glue',
    'hold a lamp behind the lining near its edges',
    'hand',
  ),
  check(
    'driven-without-cover',
    'the lining is blown out of shape, and it was driven folded without the cover',
    'ask how often the cover is put over the folded top, and feel whether the lining is loose where the wind reaches it',
    'glance',
  ),
  check(
    'hose-finds-the-place',
    'the hose finds one place where water reaches the lining',
    'hose one area at a time, from low to high, with someone inside',
    'water',
  ),
  check(
    'paper-slips-at-rear-window',
    'a strip of paper slips out, or water runs in, at the rear window seal',
    'draw a strip of paper all round under the lip of the rear window seal, then hose',
    'tool',
  ),
  check(
    'chalk-print-broken',
    'chalk or paper shows a gap between side glass and seal',
    'chalk the edge of the side glass, close it, and look at the print on the seal',
    'tool',
  ),
  check(
    'more-than-a-weep',
    'after drying, the hose brings in more than a weep',
    'dry all joints, hose, and count the wet places and their width',
    'water',
  ),
  check(
    'hygrometer-stays-high',
    'the dots smear, and the air in the car stays above 70 per cent humidity',
    'wipe one dot with a damp white cloth, and leave a hygrometer in the closed car for two days',
    'standing',
  ),
  check(
    'daylight-through-cover',
    'a point of light shows through the cover',
    'sit inside at dusk while someone moves a lamp outside over the joints',
    'tool',
  ),
];

const unlatch: readonly Unplaced[] = [
  asked('hard-to-latch-when-cold', 'hard to latch after weeks folded or in the cold'),
  inMotion('latch-needs-force', 'a latch needs both hands, or draws nothing at its end'),
  inMotion('only-one-latch-meets', 'one latch meets, the other does not'),
  inMotion('header-sways', 'the front rail sways from side to side as it moves'),
  moving(
    'paper-uneven-left-right',
    'paper under the front edge holds better on one side',
    'latch a strip of paper on each side, pull both, and look at the dowels',
    'tool',
  ),
  moving(
    'sway-over-limit',
    'the sway measured at the front rail is over the limit',
    'lift the front rail clear, pull it left and right at 50 N, and read the travel',
    'tool',
  ),
  check(
    'diagonals-differ',
    'the two diagonals differ',
    'measure from each front corner to the main bracket of the other side, and compare',
    'tool',
  ),
];

const halfOpen: readonly Unplaced[] = [
  inMotion('squeak-and-rust-dust', 'a joint squeaks, with dull rust dust beside it'),
  inMotion('frame-jerks', 'the frame moves in jerks and takes more force'),
  inMotion('one-side-lags', 'one side starts after the other, or reaches the windscreen later'),
  inMotion('joint-does-not-turn', 'a joint does not turn and its bracket bends instead'),
  look('one-side-drops', 'one side drops; a pin end is missing or a bracket is broken'),
  look('gap-and-clack', 'a gap between the leaves of a joint, white crumbs, a clack'),
  inMotion('drops-at-one-point', 'the frame drops at a certain point and is hard to close forward'),
  inMotion('arm-rubs', 'an arm rubs in its slot and the frame does not stow'),
  moving(
    'no-oil-film',
    'the leaves are dry, without a film of oil',
    'stop half open, lit by a torch, and look between the leaves of each joint',
    'hand',
  ),
  moving(
    'joint-stiff-by-hand',
    'one joint alone is stiff in the hand',
    'release the latches, move joint after joint by hand, weigh the start with a balance',
    'tool',
  ),
  moving(
    'corners-reach-apart',
    'lifted at its middle, one front corner stays behind each time',
    'latches free, lift the front rail a little at its middle with a second person, without force, and compare both corners; stop where one stays behind',
    'hand',
  ),
  moving(
    'witness-mark-stays',
    'a mark across pin and leaf stays in line while the arm gives',
    'draw a line across pin and leaf and press the arm by hand, without force; stop at the first resistance',
    'tool',
  ),
  check(
    'pin-or-bolt-broken',
    'the pin end or the bolt of the bracket is broken',
    'look at both ends of the pin and at the 13 mm bolt of the bracket',
    'hand',
  ),
  moving(
    'washer-count-short',
    'fewer washers than the pattern expects',
    'count the washers at each joint and try a feeler blade between the leaves',
    'tool',
  ),
  check(
    'play-differs-by-direction',
    'play up and down differs from play fore and aft',
    'feel the play in both directions; with the pin out, calliper the hole twice',
    'tool',
  ),
  check(
    'arm-differs-from-other-side',
    'the arm has another shape than that of the other side',
    'lay a straight edge along the arm and compare left with right',
    'tool',
  ),
];

const folded: readonly Unplaced[] = [
  inMotion('folded-bulges-rearward', 'folded, a bulge of cover hangs out behind'),
  inMotion('folds-unevenly', 'it does not fold alike on both sides'),
  inMotion('hoop-stands-proud', 'it does not go fully down; a hoop stands up'),
  moving(
    'strap-stump',
    'the stump of a snapped strap is found',
    'fold slowly by hand and look for the strap between padding and frame',
    'tool',
  ),
  check(
    'elastic-weaker-than-new',
    'the elastic pulls less than a new one',
    'pull the elastic strap and compare it with a new one',
    'hand',
  ),
];

const tailgate: readonly Unplaced[] = [
  look('no-tailgate-seal', 'no seal in place, a wet boot, or rust at the bottom of the lid'),
  check(
    'paper-free-at-tailgate',
    'paper pulls free at the lid, or its bottom seam gives way',
    'close paper in the lid all round; torch inside; press the bottom seam',
    'hand',
  ),
];

const drains: readonly Unplaced[] = [
  look('slosh-and-wet-carpet', 'water sloshes, the carpet is wet, or the pump has drowned'),
  check(
    'half-litre-stands',
    'half a litre stands or runs off slower on one side',
    'pour half a litre into each trough and time it; both sides should be alike',
    'tool',
  ),
];

const hydraulics: readonly Unplaced[] = [
  asked('power-top-slow', 'the powered top is slow or noisy, or one side is late'),
  asked('motor-runs-nothing-moves', 'the motor runs and nothing moves'),
  look('ram-boss-cracked', 'the boss of a ram is cracked'),
  asked('all-silent-at-switch', 'the switch is pressed and nothing is heard, not even a click'),
  asked('click-and-silence', 'a click is heard at the switch, and the motor stays silent'),
  asked(
    'stops-at-one-place',
    'it stops at the same place each time, or a lamp or text says that something is not shut',
  ),
  asked(
    'lid-stays-shut',
    'the lid over the well, or the boot, does not release, and the top waits for it',
  ),
  look('fluid-traces', 'wet traces of fluid at a ram, a hose or the pump, or on the lining'),
  asked('sinks-half-way', 'stopped half way it sinks at once, or one side gives way'),
  check(
    'fluid-or-voltage-low',
    'the fluid is low, or the supply is under 12.6 V',
    'measure the supply; where the top is down already, read the level at the lower edge of the fill hole; look at the rams',
    'tool',
  ),
  check('bypass-open', 'the bypass screw is open', 'look at the bypass screw of the pump', 'hand'),
  moving(
    'no-supply-at-motor',
    'a fuse has blown, the relay does not switch, or nothing reaches the plug of the motor',
    `look at the fuses; then, ${AT_THE_SWITCH}, measure at the plug of the motor while someone holds the switch`,
    'tool',
  ),
  moving(
    'supply-and-still-silent',
    'the full supply reaches the motor, and it does not turn',
    `${AT_THE_SWITCH}, measure at the plug of the motor, ground too, while someone holds the switch`,
    'tool',
  ),
  moving(
    'position-switch-says-wrong',
    'one switch or sensor says the same, whatever its part does',
    'see first that all is fulfilled that the handbook asks for (luggage cover, lid, brake); then read each switch while its part alone is moved by hand',
    'tool',
  ),
  moving(
    'lid-lock-holds',
    'the lock of the lid gets its signal and does not let go',
    `${AT_THE_SWITCH}, hands off the gap, listen at the lock; then try its emergency release as the handbook says`,
    'hand',
  ),
  check(
    'leak-comes-again',
    'wiped dry, fluid runs again at one place; a thin film at a rod is none',
    'motor off and pressure let off, wipe rods, hoses and pump dry; look again at the end with a torch and a strip of card, never with the hand',
    'tool',
  ),
  moving(
    'ram-gives-way',
    'fluid, air and supply are right, and one ram still lags or gives way',
    'with fluid, air and supply seen to and the joints free, watch both rams from outside while it is raised, nobody in reach',
    'tool',
  ),
  check(
    'ram-gap-over-limit',
    'the gap at a ram pivot is over the limit of the maker',
    'try a feeler blade between bracket and boss',
    'hand',
  ),
];

/** All signs, in the order of the inspection, looks before checks at each place. */
export const SIGNS: readonly Sign[] = [
  ...placed('walk-round', walkRound),
  ...placed('inside', inside),
  ...placed('unlatch', unlatch),
  ...placed('half-open', halfOpen),
  ...placed('folded', folded),
  ...placed('tailgate', tailgate),
  ...placed('drains', drains),
  ...placed('hydraulics', hydraulics),
];

const BY_ID = new Map(SIGNS.map((sign) => [sign.id, sign]));

export function signOf(id: string): Sign | undefined {
  return BY_ID.get(id);
}
