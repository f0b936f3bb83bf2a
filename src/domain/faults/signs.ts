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

/** Something that can be ticked: seen at a look, or the positive result of a check. */
export interface Sign {
  readonly id: string;
  readonly place: Place;
  readonly text: string;
  /** How the check is done; a sign without it is seen at a look. */
  readonly how?: string;
}

type Unplaced = Omit<Sign, 'place'>;

function look(id: string, text: string): Unplaced {
  return { id, text };
}

function check(id: string, text: string, how: string): Unplaced {
  return { id, text, how };
}

function placed(place: Place, at: readonly Unplaced[]): Sign[] {
  return at.map((sign) => ({ ...sign, place }));
}

const walkRound: readonly Unplaced[] = [
  look('edge-arched-over-side-glass', 'the edge above the side windows is drawn up in an arch'),
  look('side-edge-loose', 'the side edge hangs loose or slack above the door glass'),
  look('flutter-at-speed', 'the side edge flutters at speed'),
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
    'cable and spring are whole, yet the cloth does not come down',
    'unhook the side spring, look at cable and spring, and try to draw the edge down by hand',
  ),
  check(
    'fits-when-warm',
    'once warm the top reaches and latches as it should',
    'warm the top in the sun or with heat inside, and latch it again',
  ),
  check(
    'spoonful-soaks-in',
    'a spoonful of water soaks in',
    'put a spoonful of water on the clean, dry cover and wait some minutes',
  ),
  check(
    'hem-crazes',
    'a free hem edge crazes when it is bent warm',
    'bend a free edge of the hem while it is warm',
  ),
  check(
    'thread-breaks',
    'the thread breaks at a gentle pull',
    'lift a stitch carefully with a blunt needle',
  ),
  check(
    'cable-whole-out-of-pocket',
    'the cable is whole, only its pocket has opened',
    'draw the cloth aside and follow the cable along its sewn pocket',
  ),
  check(
    'cable-end-frayed',
    'a frayed end is felt, or the fixing screw of the cable is out',
    'compare both sides; feel for the cable end; look at its front and rear screws',
  ),
  check(
    'cold-and-wet-when-pressed',
    'the padding is cold and wet when pressed',
    'press the padding through the cover, smell, and take a moisture reading',
  ),
  check(
    'window-flange-thin',
    'under the seal the flange is rusted thin or flaking',
    'turn back the lip of the window seal and probe the flange',
  ),
  check(
    'nail-lifts-glass-edge',
    'a finger-nail goes under the edge of the glass',
    'run a finger-nail along the edge of the bonded glass',
  ),
  check(
    'view-distorted',
    'seen at an angle the window is clouded or crazed',
    'look through the plastic window at a flat angle',
  ),
  check(
    'channel-soft',
    'the cable channel gives way under the probe',
    'lift the hem carefully and probe the channel with a torch',
  ),
  check(
    'screw-rocks',
    'the corner screw rocks as the front is lifted',
    'watch the corner screw while someone lifts the front of the top',
  ),
  check(
    'bow-spacing-off',
    'the bows are not at their recorded distances',
    'measure from bow to bow and compare with the record of this pattern',
  ),
  check(
    'header-soft',
    'the front rail sounds dull or gives way',
    'tap and probe the hollow front rail; use a borescope if there is one',
  ),
  check(
    'wear-follows-folds',
    'the worn places match the lines of the folded cover',
    'fold slowly and match the worn places to the folds that lie outside',
  ),
  check(
    'finger-wipe-gritty',
    'a wiped finger comes away with salt',
    'wipe a finger along the edge where the top rests',
  ),
  check(
    'glue-strings',
    'old glue draws strings or smells under the edge',
    'lift a loose edge a little; look for strings of glue and smell',
  ),
];

const inside: readonly Unplaced[] = [
  look('dark-patch-after-rain', 'a dark patch on the lining after rain; drops do not bead outside'),
  look('dry-crumbs', 'dry fibrous crumbs on the rear shelf or seat'),
  look('lining-off-its-stick', 'the lining hangs off a stick, or is holed and thin at its corners'),
  look('lining-sags-or-cut', 'the lining sags between sticks, or shows a knife line near the edge'),
  look('lining-grey-and-baggy', 'the lining is grey and baggy at the rear'),
  look('brown-tide-marks', 'brown tide marks on the lining'),
  look('damp-rear-shelf', 'damp shelf or whistle at the rear window; its lip does not lie flat'),
  look('whistle-at-one-spot', 'wind whistles at one spot of a side window'),
  look('drops-inside-glass', 'drops run down inside the side glass'),
  look('black-dots', 'black dots and a mouldy smell'),
  check(
    'lumps-in-padding',
    'lumps are felt, or the padding falls apart behind the lining',
    'feel the padding through the cover, or lift a corner of the lining',
  ),
  check(
    'pocket-thin-against-light',
    'the pocket cloth is thin or holed against the light',
    'hold a lamp behind each sewn pocket of the lining',
  ),
  check(
    'light-shows-a-cut',
    'light behind the lining shows a straight cut or bare old glue',
    'hold a lamp behind the lining near its edges',
  ),
  check(
    'driven-without-cover',
    'it was driven folded without the cover',
    'ask how often the cover is put over the folded top',
  ),
  check(
    'hose-finds-the-place',
    'the hose finds one place where water comes in',
    'hose one area at a time, from low to high, with someone inside',
  ),
  check(
    'paper-slips-at-rear-window',
    'a strip of paper slips out at the rear window seal',
    'draw a strip of paper all round under the lip of the rear window seal, then hose',
  ),
  check(
    'chalk-print-broken',
    'chalk or paper shows a gap between side glass and seal',
    'chalk the edge of the side glass, close it, and look at the print on the seal',
  ),
  check(
    'more-than-a-weep',
    'after drying, the hose brings in more than a weep',
    'dry all joints, hose, and count the wet places and their width',
  ),
  check(
    'hygrometer-stays-high',
    'the air in the car stays above 70 per cent humidity',
    'leave a hygrometer in the closed car for two days',
  ),
  check(
    'daylight-through-cover',
    'a point of light shows through the cover',
    'sit inside at dusk while someone moves a lamp outside over the joints',
  ),
];

const unlatch: readonly Unplaced[] = [
  look('hard-to-latch-when-cold', 'hard to latch after weeks folded or in the cold'),
  look('latch-needs-force', 'a latch needs both hands, or draws nothing at its end'),
  look('only-one-latch-meets', 'one latch meets, the other does not'),
  look('header-sways', 'the front rail sways from side to side as it moves'),
  check(
    'paper-uneven-left-right',
    'paper under the front edge holds better on one side',
    'latch a strip of paper on each side, pull both, and look at the dowels',
  ),
  check(
    'sway-over-limit',
    'the sway measured at the front rail is over the limit',
    'lift the front rail clear, pull it left and right at 50 N, and read the travel',
  ),
  check(
    'diagonals-differ',
    'the two diagonals differ',
    'measure from each front corner to the main bracket of the other side, and compare',
  ),
];

const halfOpen: readonly Unplaced[] = [
  look('squeak-and-rust-dust', 'a joint squeaks, with dull rust dust beside it'),
  look('frame-jerks', 'the frame moves in jerks, one side lags, it takes more force'),
  look('joint-does-not-turn', 'a joint does not turn and its bracket bends instead'),
  look('one-side-drops', 'one side drops; a pin end is missing or a bracket is broken'),
  look('gap-and-clack', 'a gap between the leaves of a joint, white crumbs, a clack'),
  look('drops-at-one-point', 'the frame drops at a certain point and is hard to close forward'),
  look('arm-rubs', 'an arm rubs in its slot and the frame does not stow'),
  check(
    'no-oil-film',
    'the leaves are dry, without a film of oil',
    'stop half open, lit by a torch, and look between the leaves of each joint',
  ),
  check(
    'joint-stiff-by-hand',
    'one joint alone is stiff in the hand',
    'release the latches, move joint after joint by hand, weigh the start with a balance',
  ),
  check(
    'witness-mark-stays',
    'a mark across pin and leaf stays in line while the frame moves',
    'draw a line across pin and leaf and move the frame gently',
  ),
  check(
    'pin-or-bolt-broken',
    'the pin end or the bolt of the bracket is broken',
    'look at both ends of the pin and at the 13 mm bolt of the bracket',
  ),
  check(
    'washer-count-short',
    'fewer washers than the pattern expects',
    'count the washers at each joint and try a feeler blade between the leaves',
  ),
  check(
    'play-differs-by-direction',
    'play up and down differs from play fore and aft',
    'feel the play in both directions; with the pin out, calliper the hole twice',
  ),
  check(
    'arm-differs-from-other-side',
    'the arm has another shape than that of the other side',
    'lay a straight edge along the arm and compare left with right',
  ),
];

const folded: readonly Unplaced[] = [
  look('folded-bulges-rearward', 'folded, a bulge of cover hangs out behind'),
  look('folds-unevenly', 'it does not fold alike on both sides'),
  look('hoop-stands-proud', 'it does not go fully down; a hoop stands up'),
  check(
    'strap-stump',
    'the stump of a snapped strap is found',
    'fold slowly by hand and look for the strap between padding and frame',
  ),
  check(
    'elastic-weaker-than-new',
    'the elastic pulls less than a new one',
    'pull the elastic strap and compare it with a new one',
  ),
];

const tailgate: readonly Unplaced[] = [
  look('no-tailgate-seal', 'no seal in place, a wet boot, or rust at the bottom of the lid'),
  check(
    'paper-free-at-tailgate',
    'paper pulls free at the lid, or its bottom seam gives way',
    'close paper in the lid all round; torch inside; press the bottom seam',
  ),
];

const drains: readonly Unplaced[] = [
  look('slosh-and-wet-carpet', 'water sloshes, the carpet is wet, or the pump has drowned'),
  check(
    'half-litre-stands',
    'half a litre stands or runs off slower on one side',
    'pour half a litre into each trough and time it; both sides should be alike',
  ),
];

const hydraulics: readonly Unplaced[] = [
  look('power-top-slow', 'the powered top is slow or noisy, or one side is late'),
  look('motor-runs-nothing-moves', 'the motor runs and nothing moves'),
  look('ram-boss-cracked', 'the boss of a ram is cracked'),
  check(
    'fluid-or-voltage-low',
    'the fluid is low, or the supply is under 12.6 V',
    'top down: level at the lower edge of the fill hole; measure the supply; look at the rams',
  ),
  check('bypass-open', 'the bypass screw is open', 'look at the bypass screw of the pump'),
  check(
    'ram-gap-over-limit',
    'the gap at a ram pivot is over the limit of the maker',
    "try a feeler blade between bracket and boss; one maker's limit is 1.6 mm",
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
