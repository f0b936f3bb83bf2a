import type { Advice } from './advice.ts';

/** Advice for every fold of the top. */
export const FOLD_ADVICE: readonly Advice[] = [
  {
    id: 'dry-before-folding',
    text: {
      en: 'Fold the top only when it is clean and dry.',
      de: 'Öffnen Sie das Verdeck nur, wenn es sauber und trocken ist.',
    },
    why: {
      en: 'Damp leaves prints, mildew and rust in the joints; grit rubs cloth and window.',
      de: 'Feuchte gibt Abdrücke, Stockflecken und Rost in den Gelenken; Sand scheuert Stoff und Scheibe.',
    },
    grades: ['H'],
    mark: 'common practice, no source',
    source: {
      en: 'every car handbook seen says so; look in your own',
      de: 'alle gesehenen Fahrzeughandbücher sagen es; sehen Sie in Ihrem eigenen nach',
    },
    carriedBy: 'care-note',
    when: [
      { kind: 'month', north: [3, 4] },
      { kind: 'event', name: 'wet-logged', withinDays: 7 },
    ],
    for: {},
    harm: 9,
  },
  {
    id: 'folded-damp-raise-today',
    text: {
      en: 'The top was folded damp: raise it today and let it dry latched.',
      de: 'Das Verdeck wurde feucht geöffnet: Schließen Sie es heute noch und lassen Sie es verriegelt trocknen.',
    },
    why: {
      en: 'Mould and smell begin within about a day.',
      de: 'Schimmel und Geruch beginnen nach etwa einem Tag.',
    },
    grades: ['O', 'T'],
    mark: 'from memory',
    source: {
      en: 'that it begins within a day is told by owners; no source that could be named',
      de: 'dass es nach etwa einem Tag beginnt, erzählen Besitzer; keine Quelle, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'event', name: 'folded-damp', withinDays: 3 }],
    for: {},
    harm: 8,
  },
  {
    id: 'not-below-floor',
    text: {
      en: 'In the cold do not fold below the lowest temperature in your handbook.',
      de: 'Öffnen Sie das Verdeck nicht, wenn es kälter ist, als Ihr Handbuch erlaubt.',
    },
    why: {
      en: 'A cold coating or plastic window cracks at the fold.',
      de: 'Kalte Beschichtung oder kalte Kunststoffscheiben brechen in der Falte.',
    },
    grades: ['H', 'M', 'X'],
    mark: 'common practice, no source',
    source: {
      en: 'car handbooks seen and sellers of tops; their figures differ, so look in your own handbook',
      de: 'gesehene Fahrzeughandbücher und Verdeckhändler; ihre Werte weichen ab, sehen Sie also in Ihrem Handbuch nach',
    },
    carriedBy: 'care-note',
    when: [
      { kind: 'month', north: [10, 11] },
      { kind: 'frost', months: 'first' },
    ],
    for: {},
    harm: 7,
  },
  {
    id: 'how-long-folded',
    text: {
      en: 'Do not leave the top folded longer than your handbook allows; few days are the common rule.',
      de: 'Lassen Sie das Verdeck nicht länger offen liegen, als das Handbuch erlaubt; üblich sind wenige Tage.',
    },
    why: {
      en: 'Folds turn into creases, colours fade along them, and damp stays in the joints.',
      de: 'Falten werden bleibend, bleichen aus, und Feuchte bleibt in den Gelenken.',
    },
    grades: ['H', 'X'],
    mark: 'common practice, no source',
    source: {
      en: 'car handbooks seen say three days to several weeks; that one night is too long is in newspaper columns, not in handbooks',
      de: 'gesehene Fahrzeughandbücher nennen drei Tage bis mehrere Wochen; dass eine Nacht zu lang sei, steht in Zeitungsspalten, nicht in Handbüchern',
    },
    carriedBy: 'folded-nearing',
    when: [],
    for: {},
    harm: 8,
  },
  {
    id: 'crease-comes-out',
    text: {
      en: 'Creases ease when the top stays latched for a while, though a change of colour at the fold may remain.',
      de: 'Falten gehen zurück, wenn das Verdeck eine Zeit verriegelt bleibt; ein Farbunterschied kann bleiben.',
    },
    why: {
      en: 'Up and latched is what undoes the harm.',
      de: 'Geschlossen und verriegelt zu stehen macht den Schaden wieder gut.',
    },
    grades: ['O'],
    mark: 'from memory',
    source: {
      en: 'newspaper columns, which are no handbooks',
      de: 'Zeitungsspalten, die keine Handbücher sind',
    },
    carriedBy: 'folded-over',
    when: [],
    for: {},
    harm: 3,
  },
  {
    id: 'what-counts-as-rest',
    text: {
      en: 'Only a night up, latched and dry counts as a rest, twelve hours at the least.',
      de: 'Als Ruhe zählt nur eine Nacht geschlossen, verriegelt und trocken, mindestens zwölf Stunden.',
    },
    why: {
      en: 'Raising it briefly neither relaxes the folds nor dries the joints.',
      de: 'Kurzes Schließen glättet keine Falten und trocknet keine Gelenke.',
    },
    grades: [],
    mark: 'shop rule',
    source: {
      en: 'proposed here',
      de: 'hier vorgeschlagen',
    },
    carriedBy: 'help-page',
    when: [],
    for: {},
    harm: 3,
  },
  {
    id: 'cover-folded-top',
    text: {
      en: 'Fit the cover over the folded top before you drive off, even for a short way.',
      de: 'Legen Sie vor dem Losfahren die Persenning über das offene Verdeck, auch für kurze Strecken.',
    },
    why: {
      en: 'Wind gets under the slack cloth, beats it, breaks the inner strap and pulls the lining out of shape.',
      de: 'Der Wind fährt unter den losen Stoff, schlägt ihn, reißt das innere Band ab und zieht den Himmel aus der Form.',
    },
    grades: ['T', 'H'],
    mark: 'common practice, no source',
    source: {
      en: "the trade's firmest advice; a handbook of a car with such covers agrees",
      de: 'der festeste Rat des Handwerks; das Handbuch eines Wagens mit solcher Persenning stimmt zu',
    },
    carriedBy: 'care-note',
    when: [
      { kind: 'month', north: [4, 5] },
      { kind: 'event', name: 'cover-not-fitted', withinDays: 14 },
    ],
    for: {},
    harm: 10,
  },
  {
    id: 'plastic-window-flat',
    text: {
      en: 'Unzip the plastic window, lay it flat, and put a clean soft towel between the folds.',
      de: 'Öffnen Sie den Reißverschluss der Kunststoffscheibe, legen Sie sie flach und ein sauberes weiches Tuch zwischen die Falten.',
    },
    why: {
      en: 'It scratches and splits where it is folded. A towel keeps the faces apart.',
      de: 'Sie verkratzt und reißt dort, wo sie geknickt wird.',
    },
    grades: ['T'],
    mark: 'common practice, no source',
    source: {
      en: "insurers' and magazines' pages on windows say it alike; none is kept to be named",
      de: 'Seiten von Versicherern und Heften über Scheiben sagen es gleich; keine ist aufgehoben, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [4, 5, 6] }],
    for: { window: ['clear-vinyl'] },
    harm: 6,
  },
  {
    id: 'empty-well',
    text: {
      en: 'Look into the well before you fold: nothing should lie there.',
      de: 'Sehen Sie vor dem Öffnen in den Verdeckkasten: Dort darf nichts liegen.',
    },
    why: {
      en: 'A forgotten object breaks the window or tears the lining.',
      de: 'Ein vergessener Gegenstand zerbricht die Scheibe oder zerreißt den Himmel.',
    },
    grades: ['H'],
    mark: 'common practice, no source',
    source: {
      en: 'car handbooks with a well say so; look in your own',
      de: 'Handbücher von Wagen mit Verdeckkasten sagen es; sehen Sie in Ihrem eigenen nach',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [3, 4, 5] }],
    for: {},
    harm: 5,
  },
  {
    id: 'level-calm-clear',
    text: {
      en: 'Fold on level ground, out of the wind and with room above.',
      de: 'Öffnen Sie auf ebenem Boden, ohne Wind und mit Platz nach oben.',
    },
    why: {
      en: 'A gust or a slope twists the frame half way.',
      de: 'Böen oder Schräglage verdrehen das Gestänge auf halbem Weg.',
    },
    grades: ['H'],
    mark: 'common practice, no source',
    source: {
      en: 'car handbooks say so, one with about three metres of free height; look in your own',
      de: 'Fahrzeughandbücher sagen es, eines nennt etwa drei Meter freie Höhe; sehen Sie in Ihrem eigenen nach',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 7, to: 60 }],
    for: {},
    harm: 4,
  },
  {
    id: 'finish-the-movement',
    text: {
      en: 'Run a powered top with the engine on, in the open air, and let each movement finish; do not leave it standing half way.',
      de: 'Bewegen Sie ein elektrisches Verdeck mit laufendem Motor, im Freien, und lassen Sie es jede Bewegung beenden; lassen Sie es nicht halb offen stehen.',
    },
    why: {
      en: 'A weak battery stops it half way. Left half open it may sink by itself.',
      de: 'Eine schwache Batterie lässt es nicht zu Ende fahren. Auf halbem Weg kann es von selbst absinken.',
    },
    grades: ['H'],
    mark: 'common practice, no source',
    source: {
      en: 'car handbooks of powered tops; in one the top sinks after twenty seconds',
      de: 'Handbücher von Wagen mit elektrischem Verdeck; in einem sinkt es nach zwanzig Sekunden ab',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 60 }],
    for: { powered: true },
    harm: 6,
  },
  {
    id: 'never-force',
    text: {
      en: 'If the frame moves stiffly, stop and have it looked at. Please do not push it.',
      de: 'Geht das Gestänge schwer, halten Sie inne und lassen Sie es ansehen. Bitte nicht drücken.',
    },
    why: {
      en: 'Force on a stiff joint shears its pin or breaks the bracket.',
      de: 'Gewalt an einem schweren Gelenk schert den Bolzen ab oder bricht den Halter.',
    },
    grades: ['T'],
    mark: 'common practice, no source',
    source: {
      en: 'habit of the trade',
      de: 'Brauch des Handwerks',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'event', name: 'stiff-logged', withinDays: 21 }],
    for: {},
    harm: 9,
  },
];
