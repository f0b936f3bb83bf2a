import type { NoteHead } from './advice.ts';

const head = (en: string, de: string): NoteHead => ({ subject: { en, de } });

/** Heads of the notes about opening and closing a top, its drive, and washing it. */
export const FOLD_HEADS: Readonly<Record<string, NoteHead>> = {
  'dry-before-folding': head('Clean and dry first', 'Erst sauber und trocken'),
  'folded-damp-raise-today': head(
    'A word about your top, best read today',
    'Ein Wort zu Ihrem Verdeck, am besten heute zu lesen',
  ),
  'not-below-floor': head('Your top in the cold', 'Ihr Verdeck in der Kälte'),
  'cover-folded-top': head(
    'First the cover, then the drive',
    'Erst die Persenning, dann die Fahrt',
  ),
  'plastic-window-flat': {
    ...head('Be kind to the plastic window', 'Gut zur Kunststoffscheibe sein'),
    preheader: {
      en: 'A towel keeps the faces apart.',
      de: 'Sie verkratzt und reißt dort, wo sie geknickt wird.',
    },
  },
  'empty-well': head('A look into the well', 'Ein Blick in den Verdeckkasten'),
  'level-calm-clear': head(
    'Level ground, no wind, room above',
    'Ebener Boden, kein Wind, Platz nach oben',
  ),
  'finish-the-movement': {
    ...head('Let a powered top finish', 'Ein elektrisches Verdeck zu Ende fahren lassen'),
    preheader: {
      en: 'Left half open it may sink by itself.',
      de: 'Auf halbem Weg kann es von selbst absinken.',
    },
  },
  'never-force': head('If the frame moves stiffly', 'Wenn das Gestänge schwer geht'),
  'work-monthly': {
    ...head('Once a month keeps the joints free', 'Einmal im Monat hält die Gelenke frei'),
    preheader: {
      en: 'What never moves grows together.',
      de: 'Was sich nie bewegt, wächst zusammen.',
    },
  },
  'powered-fluid-yearly': head(
    'A yearly look at the hydraulics',
    'Jedes Jahr ein Blick auf die Hydraulik',
  ),
  'powered-silent-motor': {
    ...head('If you press the switch and hear nothing', 'Wenn der Schalter stumm bleibt'),
    preheader: {
      en: 'Trying finds none of them.',
      de: 'Probieren findet ihn nicht.',
    },
  },
  'powered-lid-held': {
    ...head('If the lid over the well sticks', 'Wenn der Deckel über dem Verdeckkasten klemmt'),
    preheader: {
      en: 'Do not press it down and do not pull it open.',
      de: 'Nicht zudrücken und nicht aufziehen.',
    },
  },
  'wash-by-hand': head('How to wash a soft top', 'So wäscht man ein Verdeck'),
  'no-pressure-washer': {
    ...head('No pressure washer, please', 'Bitte kein Hochdruckreiniger'),
    preheader: {
      en: 'The jet drives water through seams and lifts the proofing.',
      de: 'Der Strahl drückt Wasser durch die Nähte und löst die Imprägnierung.',
    },
  },
  'no-brush-wash': head('Better no car wash with brushes', 'Lieber keine Waschanlage mit Bürsten'),
  'droppings-and-sap': head('Droppings and sap: the same day', 'Vogelkot und Harz: am selben Tag'),
  'ice-on-plastic-window': head('Ice on the plastic window', 'Eis auf der Kunststoffscheibe'),
};
