// The picture of every care note: pieces and where they stand on a field of 600 by 180.
import * as p from './pieces.mjs';

const warm = p.thermometer(
  -30,
  'a thermometer that shows warmth',
  'ein Thermometer, das Wärme zeigt',
);
const cold = p.thermometer(18, 'a thermometer that shows cold', 'ein Thermometer, das Kälte zeigt');
const week = p.calendarOf(
  10,
  'a calendar of one to two weeks',
  'ein Kalender mit ein bis zwei Wochen',
);
const few = p.calendarOf(5, 'a calendar of a few days', 'ein Kalender mit einigen Tagen');
const two = p.calendarOf(2, 'a calendar of two days', 'ein Kalender mit zwei Tagen');
const free = p.calendarOf(0, 'an empty calendar', 'ein leerer Kalender');
const month = p.calendarOf(1, 'one day in a calendar', 'ein Tag im Kalender');

/** Where a piece stands: [piece, x, y, scale]. Those of a car stand on the ground. */
const left = (piece) => [piece, 170, 142, 1.1];
const right = (piece, scale = 1) => [piece, 440, 92, scale];
const both = (first, second) => [
  [first, 385, 92, 0.9],
  [second, 515, 92, 0.8],
];

export const SCENES = {
  'leave-up-48-hours': [left(p.carUp), right(two)],
  'settle-vinyl': [left(p.carUp), right(week)],
  'settle-cloth': [left(p.carUp), right(few)],
  'tight-is-right': [left(p.carUp), right(p.latches, 1.1)],
  'warm-before-judging': [left(p.carUp), ...both(warm, p.sun)],
  'settling-drive': [left(p.carUp), right(p.road)],
  'first-fold-shown': [left(p.carDown), right(p.book)],
  'settling-visit': [left(p.carUp), right(p.rack, 1.4)],
  'first-wash': [left(p.carUp), ...both(p.bucket, p.drops)],
  'first-clean': [left(p.carUp), ...both(p.bucket, p.brush)],
  'bead-test-half-year': [
    [p.spoon, 170, 70, 1],
    [p.beads, 420, 96, 1.3],
  ],
  'renewal-vinyl-outdoors': [left(p.carUp), ...both(p.sun, p.glass)],
  'renewal-cloth-outdoors': [left(p.carUp), ...both(p.rain, p.glass)],
  'renewal-garaged': [[p.layers, 180, 90, 1.3], right(p.glass)],
  'dry-before-folding': [left(p.carDown), ...both(p.cloth, p.sun)],
  'folded-damp-raise-today': [left(p.carUp), ...both(p.drops, p.wind)],
  'not-below-floor': [left(p.carUp), ...both(cold, p.snow)],
  'cover-folded-top': [left(p.carCovered), right(p.wind)],
  'plastic-window-flat': [[p.pane, 190, 92, 1.4], right(p.cloth)],
  'empty-well': [[p.well, 190, 84, 1.3], right(p.eye)],
  'level-calm-clear': [left(p.carDown), right(p.level)],
  'finish-the-movement': [left(p.carDown), right(p.key)],
  'never-force': [[p.joint, 190, 92, 1.3], right(p.noForce)],
  'work-monthly': [left(p.carDown), right(month)],
  'powered-fluid-yearly': [[p.ram, 190, 92, 1.4], right(p.eye)],
  'powered-silent-motor': [[p.key, 190, 90, 1.1], right(p.ear)],
  'powered-lid-held': [[p.deck, 190, 88, 1.4], right(p.noForce)],
  'wash-by-hand': [
    [p.brush, 170, 70, 1.2],
    [p.bucket, 330, 94, 1],
    [p.drops, 470, 92, 1],
  ],
  'no-pressure-washer': [left(p.carUp), right(p.noJet)],
  'no-brush-wash': [left(p.carUp), right(p.noRollers)],
  'droppings-and-sap': [left(p.carUp), [p.bird, 360, 56, 0.9], [p.tree, 480, 96, 1]],
  'ice-on-plastic-window': [[p.pane, 190, 92, 1.4], right(p.noScraper)],
  'january-humidity': [[p.garage, 190, 146, 0.9], [p.sheeted, 190, 146, 0.8], right(p.dial)],
  'february-book-now': [left(p.carUp), right(free)],
  'march-salt-off': [left(p.carUp), ...both(p.salt, p.drops)],
  'march-oil-and-drains': [
    [p.oilDrop, 110, 84, 1],
    [p.joint, 260, 92, 1.1],
    [p.drain, 460, 76, 1.1],
  ],
  'march-drains': [
    [p.rain, 180, 82, 1.2],
    [p.drain, 430, 76, 1.2],
  ],
  'april-first-fold': [left(p.carDown), ...both(p.sun, warm)],
  'april-proof-cloth': [
    [p.spray, 180, 92, 1.2],
    [p.beads, 420, 96, 1.3],
  ],
  'may-tests': [
    [p.strip, 190, 90, 1.2],
    [p.latches, 420, 92, 1.2],
  ],
  'may-bead-test': [left(p.carUp), [p.rain, 370, 80, 0.9], [p.beads, 510, 104, 0.8]],
  'june-shade': [left(p.carUp), [p.tree, 370, 92, 1.1], [p.sun, 510, 64, 0.9]],
  'june-vinyl-sun': [left(p.carUp), ...both(p.bottle, p.sun)],
  'raise-before-travel': [left(p.carUp), right(p.bag)],
  'august-fresh-water': [left(p.carUp), ...both(p.sea, p.drops)],
  'september-stitches': [[p.seam, 190, 80, 1.3], right(p.needle)],
  'tailgate-seal-in-place': [[p.lid, 190, 92, 1.3], right(p.drops)],
  'october-proof': [left(p.carUp), ...both(p.spray, p.rain)],
  'october-clean-vinyl': [left(p.carUp), ...both(p.brush, p.leaves)],
  'october-seals-and-drains': [
    [p.leaves, 170, 92, 1.5],
    [p.drain, 430, 76, 1.2],
  ],
  'november-lay-up': [[p.garage, 190, 146, 0.9], [p.carUp, 190, 146, 0.8], right(cold)],
  'november-moisture-trap': [[p.garage, 190, 146, 0.9], [p.sheeted, 190, 146, 0.8], right(p.trap)],
  'december-snow': [left(p.carUp), ...both(p.snow, p.brush)],
};

/** The drawing of a care note as SVG. */
export function drawn(scene) {
  const pieces = scene.map(
    ([{ shapes }, x, y, scale]) =>
      `<g transform="translate(${x} ${y}) scale(${scale})">${shapes}</g>`,
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 180"><rect width="600" height="180" fill="${p.GROUND}"/>${pieces.join('')}</svg>`;
}

/** What it shows, in words of both languages. */
export function told(scene) {
  const list = (words, language) =>
    new Intl.ListFormat(language, { type: 'conjunction' }).format(words);
  const capital = (text) => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;
  return {
    en: `${capital(
      list(
        scene.map(([{ en }]) => en),
        'en',
      ),
    )}.`,
    de: `${capital(
      list(
        scene.map(([{ de }]) => de),
        'de',
      ),
    )}.`,
  };
}
