import type { Advice } from './advice.ts';

/** Advice on working a top, and on the hydraulics of a powered one. */
export const DRIVE_ADVICE: readonly Advice[] = [
  {
    id: 'work-monthly',
    text: {
      en: 'A top that is seldom folded wants to be worked once a month from spring to autumn: warm and dry, down and up again, without force.',
      de: 'Ein selten geöffnetes Verdeck will von Frühjahr bis Herbst einmal im Monat bewegt werden: warm und trocken, auf und wieder zu, ohne Gewalt.',
    },
    why: {
      en: 'Joints seize in a top that always stands up just as in one that lies folded. What never moves grows together.',
      de: 'Gelenke setzen sich fest, ob das Verdeck immer geschlossen bleibt oder immer offen liegt. Was sich nie bewegt, wächst zusammen.',
    },
    grades: ['T'],
    mark: 'common practice, no source',
    source: {
      en: 'motoring magazines and trimmers, powered tops above all; no one source can be named',
      de: 'Autohefte und Sattler, vor allem zu elektrischen Verdecken; keine einzelne Quelle lässt sich nennen',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [4, 5, 6, 7, 8, 9] }],
    for: { seldomFolded: true, freeToMove: true },
    harm: 6,
    notBeforeDay: 30,
  },
  {
    id: 'powered-fluid-yearly',
    text: {
      en: 'Have the fluid of the hydraulics looked at once in the year, together with the rods: its level, and whether anything is wet. Only the fluid that the maker names goes in.',
      de: 'Lassen Sie die Flüssigkeit der Hydraulik einmal im Jahr ansehen, dazu die Kolbenstangen: ihren Stand und ob etwas nass ist. Nachgefüllt wird nur, was der Hersteller nennt.',
    },
    why: {
      en: 'Where it is low the pump draws air: the top grows slow and noisy and one side lags. Mixed fluids swell the seals.',
      de: 'Fehlt etwas, zieht die Pumpe Luft: Das Verdeck wird langsam und laut, und eine Seite bleibt zurück. Gemischte Flüssigkeiten lassen Dichtungen quellen.',
    },
    grades: ['B'],
    mark: 'from memory',
    source: {
      en: 'as repair manuals have it; none is at hand to be named',
      de: 'so steht es in Reparaturhandbüchern; keines ist zur Hand, das sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'month', north: [2, 3] }],
    for: { powered: true },
    harm: 6,
    notBeforeDay: 180,
  },
  {
    id: 'powered-silent-motor',
    text: {
      en: 'If you press the switch and hear no motor, let go and do not go on trying. See in the handbook what must be fulfilled first (engine, brake, luggage cover, lid), then have it looked at.',
      de: 'Drücken Sie den Schalter und hören keinen Motor, lassen Sie los und versuchen Sie es nicht weiter. Sehen Sie im Handbuch nach, was erst erfüllt sein muss (Motor, Bremse, Gepäckabdeckung, Klappe), und lassen Sie dann nachsehen.',
    },
    why: {
      en: 'A silent motor has a cause: a switch in the lid, a fuse, a weak battery, a pump that stood in water. Trying finds none of them.',
      de: 'Ein stummer Motor hat einen Grund: ein Schalter in der Klappe, eine Sicherung, eine schwache Batterie, eine Pumpe, die im Wasser stand. Probieren findet ihn nicht.',
    },
    grades: ['T'],
    mark: 'from memory',
    source: {
      en: 'no source looked up',
      de: 'keine Quelle nachgeschlagen',
    },
    carriedBy: 'care-note',
    when: [
      { kind: 'days-after-fitting', from: 3, to: 60 },
      { kind: 'month', north: [4, 5] },
    ],
    for: { powered: true },
    harm: 5,
  },
  {
    id: 'powered-lid-held',
    text: {
      en: 'If the lid over the well does not release, or part of the frame stands proud under it, stop there. Do not press it down and do not pull it open.',
      de: 'Löst sich der Deckel über dem Verdeckkasten nicht oder steht etwas vom Gestell darunter hervor, halten Sie inne. Nicht zudrücken und nicht aufziehen.',
    },
    why: {
      en: 'Forced down over the frame the lid breaks its latches; pulled open it bends them.',
      de: 'Über dem Gestell zugedrückt bricht der Deckel seine Verschlüsse; aufgezogen verbiegt er sie.',
    },
    grades: ['O', 'T'],
    mark: 'from memory',
    source: {
      en: 'owners tell of it; no source that could be named',
      de: 'Besitzer erzählen davon; keine Quelle, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [
      { kind: 'days-after-fitting', from: 3, to: 60 },
      { kind: 'month', north: [5, 6] },
    ],
    for: { powered: true },
    harm: 6,
  },
];
