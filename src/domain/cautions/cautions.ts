import type { Wording } from '../advice/advice.ts';
import type { Mark } from '../figures/figure.ts';

/** Kinds of work that a caution belongs to. */
export const WORKS = [
  'operation',
  'frame',
  'springs',
  'cables',
  'hydraulics',
  'glass',
  'metalwork',
  'glue',
  'dust',
  'cleaning',
] as const;
export type Work = (typeof WORKS)[number];

/** One way to come to harm, and what to show against it. */
export interface Caution {
  readonly id: string;
  readonly hazard: Wording;
  readonly show: Wording;
  readonly mark: Mark;
  readonly source: string;
  readonly appliesTo: readonly Work[];
  /** Only where the top has a motor; its words say so by themselves. */
  readonly powered?: true;
}

/** Stands above every list of cautions: no list here is complete, and none promises safety. */
export const FIRST_CAUTION: Wording = {
  en: 'The handbook of your car and local rules come first.',
  de: 'Das Handbuch Ihres Wagens und die örtlichen Vorschriften gehen vor.',
};

export const CAUTIONS: readonly Caution[] = [
  {
    id: 'pinch-points',
    hazard: {
      en: 'Links, front rail and lid pinch and shear',
      de: 'Gelenke, Dachrahmen und Klappe quetschen und scheren',
    },
    show: {
      en: 'Keep hands off hinges and the rail of the screen while anything moves, and others away.',
      de: 'Solange sich etwas bewegt, Hände weg von Gelenken und Scheibenrahmen, niemand steht daneben.',
    },
    mark: 'common practice, no source',
    source: 'car handbooks say so; look in your own',
    appliesTo: ['operation', 'frame'],
  },
  {
    id: 'part-raised-frame',
    hazard: { en: 'A half-raised frame falls', de: 'Ein halb geöffnetes Gestell fällt' },
    show: {
      en: 'Leave it nowhere in between; where it is folded by hand prop it or have someone hold it.',
      de: 'Nicht auf halbem Weg stehen lassen; ein von Hand bewegtes abstützen oder halten lassen.',
    },
    mark: 'common practice, no source',
    source: 'car handbooks say so; look in your own',
    appliesTo: ['operation', 'frame', 'hydraulics'],
  },
  {
    id: 'powered-top-sinks',
    hazard: {
      en: 'A powered top may sink by itself',
      de: 'Ein elektrisches Verdeck kann von selbst absinken',
    },
    show: {
      en: 'Half way it can do so within seconds: never reach into it.',
      de: 'Auf halbem Weg kann das binnen Sekunden geschehen: nie hineingreifen.',
    },
    mark: 'common practice, no source',
    source: 'car handbooks of powered tops say so; look in your own',
    appliesTo: ['operation', 'frame', 'hydraulics'],
    powered: true,
  },
  {
    id: 'assist-springs',
    hazard: { en: 'Assist springs hold energy', de: 'Hilfsfedern stehen unter Spannung' },
    show: {
      en: 'Never undo the counterbalance while the top is folded.',
      de: 'Den Gewichtsausgleich nie bei offenem Verdeck lösen.',
    },
    mark: 'common practice, no source',
    source: 'trimmers say so; no source is kept to be named',
    appliesTo: ['springs', 'frame'],
  },
  {
    id: 'tensioned-cables',
    hazard: { en: 'Cables and springs whip', de: 'Seile und Federn schlagen aus' },
    show: {
      en: 'Slacken them before you undo an end, and turn your face away.',
      de: 'Vor dem Lösen eines Endes entspannen und das Gesicht abwenden.',
    },
    mark: 'from memory',
    source: 'no source looked up',
    appliesTo: ['cables', 'springs'],
  },
  {
    id: 'hydraulic-pressure',
    hazard: {
      en: 'In a powered top hydraulic fluid is under pressure',
      de: 'In einem elektrischen Verdeck steht Hydrauliköl unter Druck',
    },
    show: {
      en: 'Disconnect the battery first. Some folding roofs reach 180 bar; fluid under the skin is an emergency: hospital at once.',
      de: 'Zuerst die Batterie abklemmen. Manche Dächer erreichen 180 bar; Öl unter der Haut ist ein Notfall: sofort ins Krankenhaus.',
    },
    mark: 'from memory',
    source: 'the pressure is that of one teaching page; no source is kept to be named',
    appliesTo: ['hydraulics'],
    powered: true,
  },
  {
    id: 'stuck-half-way',
    hazard: {
      en: 'A powered top that has stopped half way',
      de: 'Ein elektrisches Verdeck, das halb offen stehen geblieben ist',
    },
    show: {
      en: 'Never reach into it. The emergency procedure of its handbook comes first: motor off, two people, and pressure let off before a line is opened.',
      de: 'Nie hineingreifen. Zuerst die Notbetätigung im Handbuch: Motor aus, zu zweit, und den Druck ablassen, bevor eine Leitung geöffnet wird.',
    },
    mark: 'common practice, no source',
    source: 'car handbooks describe the procedure; look in your own',
    appliesTo: ['hydraulics'],
    powered: true,
  },
  {
    id: 'service-position',
    hazard: {
      en: 'A powered top in its service position',
      de: 'Ein elektrisches Verdeck in Montagestellung',
    },
    show: {
      en: 'Do not run the motor in it: frame and glass break.',
      de: 'Den Motor darin nicht laufen lassen: Gestell und Glas brechen.',
    },
    mark: 'common practice, no source',
    source: "makers' repair manuals say so; look in that of the car",
    appliesTo: ['hydraulics', 'frame'],
    powered: true,
  },
  {
    id: 'lifting-the-frame',
    hazard: { en: 'The frame is heavy and opens', de: 'Das Gestell ist schwer und klappt auf' },
    show: {
      en: 'Tie it folded before it comes out, and carry it with two people.',
      de: 'Vor dem Ausbau zusammenbinden und zu zweit tragen.',
    },
    mark: 'common practice, no source',
    source: 'settled habit of the trade',
    appliesTo: ['frame'],
  },
  {
    id: 'tempered-glass',
    hazard: { en: 'A tempered window bursts', de: 'Gehärtetes Glas zerspringt' },
    show: {
      en: 'Gloves and goggles; leave no tools on the shelf below it.',
      de: 'Handschuhe und Schutzbrille; kein Werkzeug auf der Ablage darunter.',
    },
    mark: 'common practice, no source',
    source: 'trimmers and owners say so',
    appliesTo: ['glass'],
  },
  {
    id: 'sharp-metal',
    hazard: {
      en: 'Sharp metal, rust flakes and swarf',
      de: 'Scharfes Blech, Rostsplitter und Späne',
    },
    show: {
      en: 'Gloves and goggles, and cover the seats.',
      de: 'Handschuhe und Schutzbrille, und die Sitze abdecken.',
    },
    mark: 'common practice, no source',
    source: 'settled habit of the trade',
    appliesTo: ['metalwork', 'frame'],
  },
  {
    id: 'sparks-and-heat',
    hazard: {
      en: 'Grinding or heat beside petrol tank, glue or trim',
      de: 'Schleifen oder Hitze neben Tank, Kleber oder Verkleidung',
    },
    show: {
      en: 'Take away or shield what can burn, and keep an extinguisher at hand.',
      de: 'Brennbares entfernen oder abschirmen, Feuerlöscher bereithalten.',
    },
    mark: 'common practice, no source',
    source: 'settled habit of the trade',
    appliesTo: ['metalwork', 'glue'],
  },
  {
    id: 'wind-and-height',
    hazard: { en: 'Wind and low roofs', de: 'Wind und niedrige Decken' },
    show: {
      en: 'Do not move the top in strong wind; look up for room.',
      de: 'Bei starkem Wind nicht bewegen; nach oben auf Platz achten.',
    },
    mark: 'common practice, no source',
    source: 'car handbooks say so; look in your own',
    appliesTo: ['operation'],
  },
  {
    id: 'contact-glue',
    hazard: {
      en: 'Contact and spray glue: the vapour burns and explodes, some solvents harm nerves for good',
      de: 'Kontakt- und Sprühkleber: Dämpfe brennen und explodieren, manche Lösemittel schädigen die Nerven dauerhaft',
    },
    show: {
      en: 'Air the room, wear a mask for organic vapours, no sparks; soaked rags go into a metal bin with a lid. Avoid n-hexane and dichloromethane.',
      de: 'Lüften, Maske gegen organische Dämpfe, keine Funken; getränkte Lappen in einen Metallbehälter mit Deckel. n-Hexan und Dichlormethan meiden.',
    },
    mark: 'common practice, no source',
    source: 'safety sheets of adhesives say it alike; read that of yours',
    appliesTo: ['glue'],
  },
  {
    id: 'isocyanates',
    hazard: {
      en: 'Sealers with isocyanates cause asthma',
      de: 'Isocyanat-Dichtstoffe lösen Asthma aus',
    },
    show: {
      en: 'Whoever has asthma stays away.',
      de: 'Wer Asthma hat, bleibt fern.',
    },
    mark: 'common practice, no source',
    source: 'safety sheets of sealers say it alike; read that of yours',
    appliesTo: ['glue', 'glass'],
  },
  {
    id: 'old-dust-and-mould',
    hazard: { en: 'Dust of old padding, and mould', de: 'Staub alter Polster und Schimmel' },
    show: {
      en: 'P2 or P3 mask, damp it down, fine-filter vacuum, no compressed air.',
      de: 'Maske P2 oder P3, anfeuchten, Sauger mit Feinfilter, keine Druckluft.',
    },
    mark: 'from memory',
    source: 'no source looked up',
    appliesTo: ['dust', 'cleaning'],
  },
  {
    id: 'asbestos',
    hazard: {
      en: 'Asbestos in old cars: brakes, clutch, gaskets, some felts',
      de: 'Asbest in alten Autos: Bremsen, Kupplung, Dichtungen, manche Filze',
    },
    show: {
      en: 'Treat unknown old felt near the exhaust as suspect, leave it alone, and never blow it out.',
      de: 'Unbekannten alten Filz am Auspuff für verdächtig halten, in Ruhe lassen und nie ausblasen.',
    },
    mark: 'common practice, no source',
    source: 'authorities of many countries say it alike; ask that of yours',
    appliesTo: ['dust'],
  },
  {
    id: 'proofers',
    hazard: {
      en: 'Proofers with solvent or fluorine',
      de: 'Imprägnierungen mit Lösemittel oder Fluor',
    },
    show: {
      en: 'Use them outdoors or well aired; mask glass and paint.',
      de: 'Im Freien oder gut gelüftet verwenden; Glas und Lack abkleben.',
    },
    mark: 'common practice, no source',
    source: 'settled habit of the trade',
    appliesTo: ['cleaning'],
  },
  {
    id: 'harsh-cleaners',
    hazard: { en: 'Harsh cleaners', de: 'Scharfe Reiniger' },
    show: {
      en: 'No bleach, ammonia or strong solvent on cover or window.',
      de: 'Keine Bleiche, kein Ammoniak, kein starkes Lösemittel auf Verdeck oder Scheibe.',
    },
    mark: 'common practice, no source',
    source: 'settled habit of the trade',
    appliesTo: ['cleaning', 'glass'],
  },
];

/** The cautions for some work, never without the line that the handbook and local rules lead. */
export function cautionsFor(...works: readonly Work[]): {
  first: Wording;
  cautions: readonly Caution[];
} {
  return {
    first: FIRST_CAUTION,
    cautions: CAUTIONS.filter((caution) => caution.appliesTo.some((work) => works.includes(work))),
  };
}

/**
 * Of these, what can happen at a top: folded by hand, nothing that only a motor or its hydraulics do. Where
 * nobody knows, all of it.
 */
export function atTop(
  cautions: readonly Caution[],
  powered: boolean | undefined,
): readonly Caution[] {
  return powered === false ? cautions.filter((caution) => caution.powered !== true) : cautions;
}
