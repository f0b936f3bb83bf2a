// What the pictures of the care notes are put together from. Each piece is drawn about its own origin
// and says in both languages what it shows, so that the words beside a picture are never untrue.
const LINE = '#eef5f5';
const SOFT = '#2b7581';
const TOP = '#f2bb66';
export const GROUND = '#14525d';

const stroke = `fill="none" stroke="${LINE}" stroke-width="4" stroke-linecap="round" stroke-linejoin="round"`;
const thin = `fill="none" stroke="${LINE}" stroke-width="3" stroke-linecap="round" stroke-linejoin="round"`;

/** One piece: its shapes, and what it is. */
const piece = (shapes, en, de) => ({ shapes, en, de });

const BODY = `<path d="M-100-18C-100-36-92-44-70-47H38C70-45 92-40 98-24V-16C98-12 95-10 90-10H72A19 19 0 0 0 34-10H-34A19 19 0 0 0-72-10H-94C-98-10-100-13-100-18Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/>
<circle cx="53" cy="-10" r="14" fill="${GROUND}" stroke="${LINE}" stroke-width="4"/><circle cx="-53" cy="-10" r="14" fill="${GROUND}" stroke="${LINE}" stroke-width="4"/>
<path d="M-130 5H130" ${thin}/><path d="M38-47 14-77" ${stroke}/>`;
const RAISED = `<path d="M-64-47C-58-70-38-82-8-82L15-79 33-56 20-47Z" fill="${TOP}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-30-54C-26-66-14-72 2-72L10-71 20-56Z" fill="${GROUND}"/>`;
const FOLDED = `<path d="M-78-47C-80-58-66-64-50-62-38-60-34-54-34-47Z" fill="${TOP}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/>`;

export const carUp = piece(
  BODY + RAISED,
  'a car with its top up',
  'ein Wagen mit geschlossenem Verdeck',
);
export const carDown = piece(
  BODY + FOLDED,
  'a car with its top down',
  'ein Wagen mit offenem Verdeck',
);
export const carCovered = piece(
  `${BODY}<path d="M-84-47C-86-62-70-70-52-68-36-66-30-56-30-47Z" fill="${TOP}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-78-54C-66-62-46-62-35-53" ${thin}/><circle cx="-72" cy="-47" r="3" fill="${LINE}"/><circle cx="-57" cy="-47" r="3" fill="${LINE}"/><circle cx="-42" cy="-47" r="3" fill="${LINE}"/>`,
  'a car whose open top lies under its cover',
  'ein Wagen, dessen offenes Verdeck unter der Persenning liegt',
);
export const sheeted = piece(
  `<path d="M-112 2C-108-30-90-50-66-54-50-80-6-90 20-80 44-62 60-52 92-46 108-34 112-14 114 2Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-70-50C-60-30-62-14-66 0M24-76C30-50 30-24 26 0M-130 5H130" ${thin}/>`,
  'a car under a dust sheet',
  'ein Wagen unter einer Decke',
);
export const garage = piece(
  `<path d="M-150 5V-92L0-142 150-92V5" ${stroke}/>`,
  'a garage',
  'eine Garage',
);
export const sun = piece(
  `<circle r="24" fill="${TOP}"/><path d="M0-38V-50M0 38V50M-38 0H-50M38 0H50M-27-27-35-35M27 27 35 35M-27 27-35 35M27-27 35-35" stroke="${TOP}" stroke-width="5" stroke-linecap="round"/>`,
  'the sun',
  'die Sonne',
);
export const cloud = piece(
  `<path d="M-46 18A22 22 0 0 1-40-26 32 32 0 0 1 20-34 26 26 0 0 1 46 18Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/>`,
  'a cloud',
  'eine Wolke',
);
export const rain = piece(
  `${cloud.shapes}<path d="M-26 32-34 52M0 32-8 52M26 32 18 52" ${stroke}/>`,
  'rain',
  'Regen',
);
const flake = (x, y, r) =>
  [0, 60, 120]
    .map(
      (turn) => `<path transform="translate(${x} ${y}) rotate(${turn})" d="M0-${r}V${r}" ${thin}/>`,
    )
    .join('');
export const snow = piece(
  `${flake(-44, -18, 15)}${flake(6, 10, 18)}${flake(46, -30, 13)}`,
  'snow',
  'Schnee',
);
const drop = (x, y, s, fill = LINE) =>
  `<path transform="translate(${x} ${y}) scale(${s})" d="M0-22C10-8 15 0 15 8A15 15 0 0 1-15 8C-15 0-10-8 0-22Z" fill="${fill}"/>`;
export const drops = piece(
  `${drop(-30, 4, 0.9)}${drop(4, -14, 1.1)}${drop(36, 10, 0.7)}`,
  'drops of water',
  'Wassertropfen',
);
export const beads = piece(
  `<path d="M-80 24C-40 6 40 6 80 24" ${stroke}/><circle cx="-40" cy="2" r="11" fill="${LINE}"/><circle cx="-4" cy="-6" r="15" fill="${LINE}"/><circle cx="36" cy="2" r="9" fill="${LINE}"/>`,
  'water that stands in beads on cloth',
  'Wasser, das auf dem Stoff perlt',
);
export const oilDrop = piece(drop(0, 0, 1.5, TOP), 'a drop of oil', 'ein Tropfen Öl');
export const joint = piece(
  `<path d="M-74 44-4 2M4-2 78-30" stroke="${LINE}" stroke-width="20" stroke-linecap="round"/><path d="M-74 44-4 2M4-2 78-30" stroke="${SOFT}" stroke-width="12" stroke-linecap="round"/><circle r="22" fill="${SOFT}" stroke="${LINE}" stroke-width="4"/><circle r="7" fill="${TOP}"/>`,
  'a joint of the frame',
  'ein Gelenk des Gestells',
);
const days = (count) =>
  Array.from(
    { length: 14 },
    (_, i) =>
      `<rect x="${(i % 7) * 17 - 57}" y="${Math.floor(i / 7) * 22 - 12}" width="12" height="14" rx="2" fill="${i < count ? TOP : SOFT}"/>`,
  ).join('');
const CALENDAR = `<rect x="-70" y="-48" width="140" height="94" rx="8" ${stroke}/><path d="M-70-24H70M-36-58V-40M36-58V-40" ${stroke}/>`;
export const calendarOf = (count, en, de) => piece(`${CALENDAR}${days(count)}`, en, de);
export const thermometer = (level, en, de) =>
  piece(
    `<path d="M-10 24V-46A10 10 0 0 1 10-46V24A20 20 0 1 1-10 24Z" fill="${GROUND}" stroke="${LINE}" stroke-width="4"/><path d="M0 36V${level}" stroke="${TOP}" stroke-width="9" stroke-linecap="round"/><circle cy="38" r="11" fill="${TOP}"/><path d="M18-40H28M18-22H28M18-4H28M18 14H28" ${thin}/>`,
    en,
    de,
  );
export const sea = piece(
  `<path d="M-90 0C-75-14-60-14-45 0S-15 14 0 0 30-14 45 0 75 14 90 0M-70 26C-55 12-40 12-25 26S5 40 20 26 50 12 65 26" ${stroke}/>`,
  'waves of the sea',
  'Wellen des Meeres',
);
export const leaves = piece(
  `<path d="M-40 20C-50-14-26-36 2-38 4-6-10 18-40 20ZM-40 20-14-14M18 38C14 12 32-4 56-6 58 22 42 38 18 38ZM18 38 42 12" ${thin}/>`,
  'fallen leaves',
  'gefallenes Laub',
);
export const brush = piece(
  `<path d="M-56-14H56V6H-56Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-48 10V32M-32 10V32M-16 10V32M0 10V32M16 10V32M32 10V32M48 10V32" ${thin}/>`,
  'a soft brush',
  'eine weiche Bürste',
);
export const bucket = piece(
  `<path d="M-38-24H38L30 42H-30Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-36-26C-34-66 34-66 36-26" ${thin}/><path d="M-33-6C-20-12-10 0 0-6S22-12 33-6" ${thin}/>`,
  'a bucket of water',
  'ein Eimer Wasser',
);
const crossed = (inner) =>
  `${inner}<circle r="62" fill="none" stroke="${TOP}" stroke-width="6"/><path d="M-44 44 44-44" stroke="${TOP}" stroke-width="6" stroke-linecap="round"/>`;
export const noJet = piece(
  crossed(`<path d="M-40 14-6 2-2 14-36 26ZM4 0 40-22M8 8 46 0M8 16 42 26" ${stroke}/>`),
  'a crossed-out pressure washer',
  'ein durchgestrichener Hochdruckreiniger',
);
export const noRollers = piece(
  crossed(
    `<path d="M-22-36V36M22-36V36M-36-24-8-18M-36-6-8 0M-36 12-8 18M8-18 36-24M8 0 36-6M8 18 36 12" ${thin}/>`,
  ),
  'crossed-out brushes of a car wash',
  'durchgestrichene Bürsten einer Waschanlage',
);
export const noScraper = piece(
  crossed(`<path d="M-30 34 0 0M-18-16 18 16 34-2-2-32Z" ${stroke}/>`),
  'a crossed-out scraper',
  'ein durchgestrichener Eiskratzer',
);
export const noForce = piece(
  crossed(`<path d="M-34 0H22M2-18 24 0 2 18" ${stroke}/>`),
  'a crossed-out push',
  'ein durchgestrichenes Drücken',
);
export const bird = piece(
  `<path d="M-40 4C-30-22-8-24 0-4 8-24 30-22 40 4" ${stroke}/>`,
  'a bird',
  'ein Vogel',
);
export const tree = piece(
  `<path d="M0 60V0M0 30-18 14M0 20 16 6" ${stroke}/><path d="M-42-6A30 30 0 0 1-24-56 34 34 0 0 1 32-54 30 30 0 0 1 42-4C20 10-22 10-42-6Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4"/>`,
  'a tree',
  'ein Baum',
);
export const cloth = piece(
  `<path d="M-50-28C-20-40 20-16 50-28V24C20 36-20 12-50 24Z" fill="${TOP}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/>`,
  'a soft cloth',
  'ein weiches Tuch',
);
export const pane = piece(
  `<path d="M-64 30-50-34H50L64 30Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-28 12-8-18M-4 16 24-22" ${thin}/>`,
  'the rear window',
  'die Heckscheibe',
);
export const seam = piece(
  `<path d="M-90 26C-40-6 30-18 90-14L90 20C40 16-30 28-76 52Z" fill="${TOP}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-78 34C-30 8 30-4 86 0" fill="none" stroke="${GROUND}" stroke-width="4" stroke-dasharray="11 9"/>`,
  'a seam',
  'eine Naht',
);
export const needle = piece(
  `<path d="M-40 34 34-34M34-34 24-34M34-34V-24" ${stroke}/><path d="M-40 34C-66 50-20 60 6 46" fill="none" stroke="${TOP}" stroke-width="4" stroke-linecap="round"/>`,
  'needle and thread',
  'Nadel und Faden',
);
export const lid = piece(
  `<path d="M-70 34V-6L-20-46H40" ${stroke}/><path d="M-70 34H46V-30" ${thin}/><path d="M-62 26V-2L-18-38H38V26Z" fill="none" stroke="${TOP}" stroke-width="6" stroke-linejoin="round"/>`,
  'a tailgate with its seal',
  'eine Heckklappe mit ihrer Dichtung',
);
export const drain = piece(
  `<path d="M-60-30H60M-14-30V6C-14 26-40 22-40 46M14-30V10C14 36-14 34-14 46" ${stroke}/>${drop(-27, 62, 0.5)}`,
  'a drain',
  'ein Wasserablauf',
);
export const strip = piece(
  `<path d="M-70 20H70M-70-20H70" ${stroke}/><path d="M-14-46H14V46H-14Z" fill="${TOP}" stroke="${LINE}" stroke-width="4"/>`,
  'a strip of paper in a seal',
  'ein Papierstreifen in einer Dichtung',
);
export const latches = piece(
  `<path d="M-70 24V-8C-70-30-40-30-40-8V2M40 2V-8C40-30 70-30 70-8V24M-84 30H84" ${stroke}/>`,
  'the two latches at the windscreen',
  'die beiden Verschlüsse an der Frontscheibe',
);
export const well = piece(
  `<path d="M-80-24-64 36H64L80-24" ${stroke}/><path d="M-96-24H-80M80-24H96" ${stroke}/>`,
  'the empty well for the top',
  'der leere Verdeckkasten',
);
export const eye = piece(
  `<path d="M-52 0C-24-36 24-36 52 0 24 36-24 36-52 0Z" ${stroke}/><circle r="14" fill="${TOP}"/>`,
  'an eye that looks',
  'ein Auge, das hinsieht',
);
export const glass = piece(
  `<circle cx="-8" cy="-8" r="32" ${stroke}/><path d="M16 16 44 44" stroke="${TOP}" stroke-width="9" stroke-linecap="round"/>`,
  'a magnifying glass',
  'eine Lupe',
);
export const wind = piece(
  `<path d="M-70-14H30C58-14 56-46 34-44M-50 10H56C84 10 82 40 60 38M-70 34H8" ${stroke}/>`,
  'wind',
  'Wind',
);
export const road = piece(
  `<path d="M-90 40C-30 34-40-4 10-10S70-34 92-40" ${stroke}/><path d="M-90 40C-30 34-40-4 10-10S70-34 92-40" fill="none" stroke="${TOP}" stroke-width="4" stroke-dasharray="10 14"/>`,
  'a road',
  'eine Straße',
);
export const level = piece(
  `<rect x="-76" y="-18" width="152" height="36" rx="8" ${stroke}/><rect x="-26" y="-10" width="52" height="20" rx="10" fill="${SOFT}"/><circle r="8" fill="${TOP}"/>`,
  'a spirit level',
  'eine Wasserwaage',
);
export const key = piece(
  `<rect x="-40" y="-50" width="80" height="100" rx="14" ${stroke}/><path d="M-16-14 0-30 16-14M-16 14 0 30 16 14" ${stroke}/>`,
  'the switch of a powered top',
  'der Schalter eines elektrischen Verdecks',
);
export const ram = piece(
  `<path d="M-80 16 8-22 16-4-72 34Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M12-13 78-40" stroke="${LINE}" stroke-width="8" stroke-linecap="round"/>${drop(30, 30, 0.8, TOP)}`,
  'a hydraulic ram and a drop of its fluid',
  'ein Hydraulikzylinder und ein Tropfen seiner Flüssigkeit',
);
export const ear = piece(
  `<path d="M-10 44C-34 40-44 10-38-14-30-44 14-50 30-24 42-4 26 12 16 20 8 28 14 44-10 44ZM-18-4C-16-24 10-26 12-8" ${stroke}/>`,
  'an ear that listens',
  'ein Ohr, das lauscht',
);
export const deck = piece(
  `<path d="M-84 20H-30M-30 20 56-28" ${stroke}/><path d="M-24 36H72" ${stroke}/><path d="M-10 22C4 2 30 2 46 22" fill="${TOP}" stroke="${LINE}" stroke-width="4"/>`,
  'the lid of the well, held from below',
  'der Deckel des Verdeckkastens, von unten gehalten',
);
export const dial = piece(
  `<circle r="42" fill="${SOFT}" stroke="${LINE}" stroke-width="4"/><path d="M-26 18A32 32 0 1 1 26 18" ${thin}/><path d="M0 4-14-20" stroke="${TOP}" stroke-width="6" stroke-linecap="round"/>`,
  'a dial for damp air',
  'ein Feuchtemesser',
);
export const trap = piece(
  `<path d="M-40-10H40L32 40H-32Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-32-10C-30-30 30-30 32-10" ${stroke}/><circle cx="-12" cy="16" r="4" fill="${LINE}"/><circle cx="6" cy="8" r="4" fill="${LINE}"/><circle cx="14" cy="24" r="4" fill="${LINE}"/>`,
  'a moisture trap',
  'ein Luftentfeuchter',
);
export const bottle = piece(
  `<path d="M-22 46V-8C-22-22-10-22-10-36V-46H10V-36C10-22 22-22 22-8V46Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-10 10H10" ${stroke}/>`,
  'a bottle of care',
  'eine Flasche Pflege',
);
export const spray = piece(
  `<path d="M-34 46V-2C-34-14-24-16-24-26H4C4-16 14-14 14-2V46Z" fill="${SOFT}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/><path d="M-24-26V-40H12L20-30" ${stroke}/><path d="M30-44 46-54M34-34H54M30-24 46-14" ${thin}/>`,
  'a bottle of proofing',
  'eine Flasche Imprägnierung',
);
export const spoon = piece(
  `<path d="M20-6 78-44" ${stroke}/><ellipse cx="-8" cy="10" rx="32" ry="15" transform="rotate(-28 -8 10)" fill="${SOFT}" stroke="${LINE}" stroke-width="4"/>${drop(-20, 54, 0.7)}`,
  'a spoonful of water',
  'ein Löffel Wasser',
);
export const salt = piece(
  `<g fill="${LINE}"><rect x="-46" y="-16" width="10" height="10" transform="rotate(20 -41 -11)"/><rect x="-14" y="-34" width="10" height="10" transform="rotate(50 -9 -29)"/><rect x="18" y="-14" width="10" height="10" transform="rotate(10 23 -9)"/><rect x="-28" y="14" width="10" height="10" transform="rotate(35 -23 19)"/><rect x="4" y="12" width="10" height="10" transform="rotate(70 9 17)"/><rect x="40" y="18" width="10" height="10" transform="rotate(25 45 23)"/></g>`,
  'grains of salt',
  'Salzkörner',
);
export const book = piece(
  `<path d="M0-32C-20-46-50-44-66-38V34C-50 28-20 26 0 40 20 26 50 28 66 34V-38C50-44 20-46 0-32ZM0-32V40" ${stroke}/>`,
  'the handbook',
  'das Handbuch',
);
export const rack = piece(
  `<path d="M-80 10H80M-64 10V44M64 10V44" ${stroke}/><path d="M-20 4V-14H20V4M-40-14H40" fill="${TOP}" stroke="${LINE}" stroke-width="4" stroke-linejoin="round"/>`,
  'the workbench',
  'die Werkbank',
);
export const bag = piece(
  `<rect x="-50" y="-28" width="100" height="70" rx="10" fill="${SOFT}" stroke="${LINE}" stroke-width="4"/><path d="M-18-28V-44H18V-28M-50 6H50" ${stroke}/>`,
  'a suitcase',
  'ein Koffer',
);
export const layers = piece(
  `<path d="M-80-20C-30-48 30-48 80-20" stroke="${TOP}" stroke-width="10" fill="none" stroke-linecap="round"/><path d="M-80 8C-30-20 30-20 80 8" ${stroke}/><path d="M-80 36C-30 8 30 8 80 36" fill="none" stroke="${LINE}" stroke-width="4" stroke-dasharray="8 8" stroke-linecap="round"/>`,
  'cover, padding and lining',
  'Bezug, Polster und Himmel',
);
