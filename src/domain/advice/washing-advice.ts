import type { Advice } from './advice.ts';

/** Advice on washing, on what falls on the top and on what must never touch it. */
export const WASHING_ADVICE: readonly Advice[] = [
  {
    id: 'wash-by-hand',
    text: {
      en: 'Wash the top by hand: rinse the grit off first, then mild soap or top cleaner and a soft brush along the weave, the whole top at once, in the shade, rinsed twice.',
      de: 'Waschen Sie das Verdeck von Hand: erst den Sand abspülen, dann milde Seife oder Verdeckreiniger und eine weiche Bürste in Webrichtung, immer das ganze Verdeck, im Schatten, zweimal nachspülen.',
    },
    why: {
      en: 'Grit that is rubbed in saws at the cloth; a patch that is cleaned alone leaves a ring.',
      de: 'Eingeriebener Sand scheuert am Stoff; ein einzeln geputzter Fleck hinterlässt einen Rand.',
    },
    grades: ['M', 'T'],
    mark: 'common practice, no source',
    source: {
      en: 'care sheets of several sellers and cleaners; twice a year, spring and late autumn',
      de: 'Pflegeblätter mehrerer Händler und Reiniger; zweimal im Jahr, im Frühjahr und im späten Herbst',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [4, 5] }],
    for: {},
    harm: 5,
    notBeforeDay: 28,
  },
  {
    id: 'no-pressure-washer',
    text: {
      en: 'Keep the pressure washer away from the top, its seams and its window.',
      de: 'Halten Sie den Hochdruckreiniger von Verdeck, Nähten und Scheibe fern.',
    },
    why: {
      en: 'The jet drives water through seams and lifts the proofing. Some allow it from 30 to 100 cm away; nobody knows how a hand keeps that.',
      de: 'Der Strahl drückt Wasser durch die Nähte und löst die Imprägnierung. Manche erlauben ihn aus 30 bis 100 cm; keine Hand hält das ein.',
    },
    grades: ['T', 'X'],
    mark: 'common practice, no source',
    source: {
      en: 'most say never; those who allow it differ on the distance',
      de: 'die meisten sagen nie; wer ihn erlaubt, nennt verschiedene Abstände',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [3, 4] }],
    for: {},
    harm: 6,
  },
  {
    id: 'no-brush-wash',
    text: {
      en: 'No car wash with brushes for a car with a soft top.',
      de: 'Fahren Sie mit einem Stoff- oder Kunstlederverdeck nicht durch eine Waschanlage mit Bürsten.',
    },
    why: {
      en: 'Brushes chafe at seams and edges, tear at cables and straps, and scratch a plastic window.',
      de: 'Bürsten scheuern an Nähten und Kanten, zerren an Seilen und Bändern und zerkratzen eine Kunststoffscheibe.',
    },
    grades: ['T'],
    mark: 'from memory',
    source: {
      en: 'no source looked up; handbooks of some cars allow it',
      de: 'keine Quelle nachgeschlagen; Handbücher mancher Wagen erlauben es',
    },
    carriedBy: 'care-note',
    when: [
      { kind: 'days-after-fitting', from: 21, to: 90 },
      { kind: 'month', north: [3, 11] },
    ],
    for: {},
    harm: 5,
  },
  {
    id: 'droppings-and-sap',
    text: {
      en: 'Take bird droppings and tree sap off the same day: lay a wet cloth on them until they are soft, lift them off and rinse. Do not rub.',
      de: 'Entfernen Sie Vogelkot und Baumharz am selben Tag: ein nasses Tuch auflegen, bis sie weich sind, abheben und nachspülen. Nicht reiben.',
    },
    why: {
      en: 'Both eat into the finish, and rubbed in they stay for good.',
      de: 'Beides greift die Oberfläche an, und eingerieben bleibt es für immer.',
    },
    grades: ['T'],
    mark: 'from memory',
    source: {
      en: 'that they harm is common practice; how to take them off is from memory',
      de: 'dass sie schaden, ist allgemeiner Brauch; wie man sie entfernt, ist aus dem Gedächtnis',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [5, 6, 7] }],
    for: { place: ['street', 'outdoors'] },
    harm: 4,
  },
  {
    id: 'ice-on-plastic-window',
    text: {
      en: 'Let ice on the plastic window thaw by warming the cabin. No scraper, nothing with alcohol or ammonia, and no dry wiping.',
      de: 'Lassen Sie Eis auf der Kunststoffscheibe durch die Wärme im Innenraum tauen. Kein Eiskratzer, nichts mit Alkohol oder Ammoniak, nicht trocken wischen.',
    },
    why: {
      en: 'Cold plastic scratches and cracks, and such cleaners cloud it.',
      de: 'Kalter Kunststoff zerkratzt und reißt, und solche Mittel trüben ihn.',
    },
    grades: ['T'],
    mark: 'common practice, no source',
    source: {
      en: 'habit of the trade; pages of glass fitters say the same',
      de: 'Brauch des Handwerks; Seiten von Glasern sagen dasselbe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'frost', months: 'any' }],
    for: { window: ['clear-vinyl'], place: ['street', 'outdoors'] },
    harm: 7,
  },
];
