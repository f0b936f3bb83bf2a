import type { Advice } from './advice.ts';

/** Advice that counts from the day the top was fitted. */
export const FITTING_ADVICE: readonly Advice[] = [
  {
    id: 'leave-up-48-hours',
    text: {
      en: 'For the first two days leave the top up and latched, and do not wash it.',
      de: 'Lassen Sie das Verdeck die ersten zwei Tage geschlossen und verriegelt, und waschen Sie es nicht.',
    },
    why: {
      en: 'The glue at the front edge, the pockets and the hem is still gaining strength.',
      de: 'Der Kleber an Vorderkante, Taschen und Saum wird erst noch fest.',
    },
    grades: ['T'],
    mark: 'from memory',
    source: {
      en: 'habit of the trade with contact glue; no source looked up',
      de: 'Brauch des Handwerks mit Kontaktkleber; keine Quelle nachgeschlagen',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 2 }],
    for: {},
    harm: 9,
  },
  {
    id: 'settle-vinyl',
    text: {
      en: 'Keep a new vinyl top latched for one to two weeks before you fold it.',
      de: 'Lassen Sie ein neues Kunstlederverdeck ein bis zwei Wochen verriegelt, bevor Sie es öffnen.',
    },
    why: {
      en: 'New vinyl is tight and has to take the shape of the frame.',
      de: 'Neues Material ist straff und muss sich erst dem Gestänge anpassen.',
    },
    grades: ['M', 'T'],
    mark: 'common practice, no source',
    source: {
      en: "fitters and a supplier's page name one to two weeks; no page is kept to be named",
      de: 'Monteure und die Seite eines Lieferanten nennen ein bis zwei Wochen; keine Seite ist aufgehoben, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 10 }],
    for: { material: 'vinyl' },
    harm: 8,
  },
  {
    id: 'settle-cloth',
    text: {
      en: 'Keep a new cloth top latched for two to seven days before you fold it.',
      de: 'Lassen Sie ein neues Stoffverdeck zwei bis sieben Tage verriegelt, bevor Sie es öffnen.',
    },
    why: {
      en: 'The cloth and its straps settle evenly only while they are stretched.',
      de: 'Stoff und Gurte setzen sich nur in gespanntem Zustand gleichmäßig.',
    },
    grades: ['M', 'T'],
    mark: 'common practice, no source',
    source: {
      en: 'fitters name two days to a week',
      de: 'Monteure nennen zwei Tage bis eine Woche',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 6 }],
    for: { material: 'cloth' },
    harm: 8,
  },
  {
    id: 'tight-is-right',
    text: {
      en: 'A new top is meant to be tight: using both hands on the latches is normal. Please do not have the front edge let out.',
      de: 'Ein neues Verdeck darf stramm sein: beide Hände an den Verschlüssen sind normal. Bitte lassen Sie die Vorderkante nicht nachlassen.',
    },
    why: {
      en: 'One that shuts easily on the first day hangs loose a year later.',
      de: 'Was am ersten Tag leicht schließt, hängt nach einem Jahr durch.',
    },
    grades: ['T'],
    mark: 'from memory',
    source: {
      en: "read once on a club's page; no source is kept to be named",
      de: 'einmal auf der Seite eines Clubs gelesen; keine Quelle ist aufgehoben, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 20 }],
    for: {},
    harm: 5,
  },
  {
    id: 'warm-before-judging',
    text: {
      en: 'If the new top feels too short in the cold, warm it first: sun, or the heater with the windows shut.',
      de: 'Wirkt das neue Verdeck in der Kälte zu kurz, wärmen Sie es zuerst: in der Sonne oder mit der Heizung bei geschlossenen Fenstern.',
    },
    why: {
      en: 'The stiffness comes from the temperature, not from the cut.',
      de: 'Die Steifheit kommt von der Temperatur, nicht vom Zuschnitt.',
    },
    grades: ['T'],
    mark: 'from memory',
    source: {
      en: "read once on a club's page; no source is kept to be named",
      de: 'einmal auf der Seite eines Clubs gelesen; keine Quelle ist aufgehoben, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'frost-after-fitting', from: 0, to: 30 }],
    for: {},
    harm: 5,
  },
  {
    id: 'settling-drive',
    text: {
      en: 'On the first mild day take a drive at steady speed with the top up.',
      de: 'Fahren Sie am ersten milden Tag ein Stück in gleichmäßigem Tempo mit geschlossenem Verdeck.',
    },
    why: {
      en: 'The air lifts the cover evenly and helps it to settle.',
      de: 'Die Luft hebt den Bezug gleichmäßig an, er setzt sich besser.',
    },
    grades: ['O', 'T'],
    mark: 'from memory',
    source: {
      en: "read once on a club's page; no source is kept to be named",
      de: 'einmal auf der Seite eines Clubs gelesen; keine Quelle ist aufgehoben, die sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 14 }],
    for: {},
    harm: 4,
  },
  {
    id: 'first-fold-shown',
    text: {
      en: 'Before the very first fold, read the order of steps in the handbook, or have somebody who fits tops show you how the window and the side flaps must lie.',
      de: 'Lesen Sie vor dem allerersten Öffnen die Reihenfolge im Handbuch, oder lassen Sie sich im Verdeckbetrieb zeigen, wie Scheibe und Seitenlappen liegen müssen.',
    },
    why: {
      en: 'A wrong first fold leaves a crease that stays.',
      de: 'Eine falsche erste Falte bleibt für immer.',
    },
    grades: ['T'],
    mark: 'common practice, no source',
    source: {
      en: 'habit of the trade',
      de: 'Brauch des Handwerks',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 0, to: 14 }],
    for: {},
    harm: 7,
  },
  {
    id: 'settling-visit',
    text: {
      en: 'Have the short settling visit made where it was fitted: edges, cables, corner screws, latches and washers are looked at, and water is run over it.',
      de: 'Lassen Sie die kurze Nachschau machen, wo es aufgezogen wurde: Kanten, Seile, Eckschrauben, Verschlüsse und Unterlegscheiben werden geprüft, dazu ein Wassertest.',
    },
    why: {
      en: 'Cover and straps have moved by now and the screws have bedded in.',
      de: 'Bezug und Gurte haben sich inzwischen bewegt, die Schrauben gesetzt.',
    },
    grades: ['T'],
    mark: 'shop rule',
    source: {
      en: 'proposed here',
      de: 'hier vorgeschlagen',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 14, to: 45 }],
    for: {},
    harm: 7,
  },
  {
    id: 'first-wash',
    text: {
      en: 'From the fourth week on the new top may be washed: cool water, a soft brush along the weave, no cleaner.',
      de: 'Ab der vierten Woche darf das neue Verdeck gewaschen werden: kühles Wasser, weiche Bürste in Webrichtung, kein Reiniger.',
    },
    why: {
      en: 'The glue has hardened and the finish of the factory is still on.',
      de: 'Der Kleber ist ausgehärtet, und die Ausrüstung ab Werk ist noch da.',
    },
    grades: ['M', 'T'],
    mark: 'from memory',
    source: {
      en: 'no source looked up',
      de: 'keine Quelle nachgeschlagen',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 21, to: 56 }],
    for: {},
    harm: 4,
  },
  {
    id: 'first-clean',
    text: {
      en: 'Clean the top only if it is dirty: mild soap or top cleaner, the whole top at once, in the shade, rinsed twice.',
      de: 'Reinigen Sie nur, wenn es schmutzig ist: milde Seife oder Verdeckreiniger, immer das ganze Verdeck, im Schatten, zweimal nachspülen.',
    },
    why: {
      en: 'Cleaning a single patch leaves a ring.',
      de: 'Wer nur einen Fleck putzt, behält einen Rand.',
    },
    grades: ['M'],
    mark: 'common practice, no source',
    source: {
      en: 'care sheets of several sellers in general',
      de: 'Pflegeblätter mehrerer Händler im Allgemeinen',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 85, to: 130 }],
    for: {},
    harm: 3,
  },
  {
    id: 'bead-test-half-year',
    text: {
      en: 'Put a spoonful of water on the top. If it stands in drops all is well; if it soaks in, the proofing wants renewing.',
      de: 'Geben Sie einen Löffel Wasser auf das Verdeck. Steht es in Perlen, ist alles gut; zieht es ein, ist eine neue Imprägnierung fällig.',
    },
    why: {
      en: 'Sun and washing wear the proofing away without a sign.',
      de: 'Sonne und Wäsche zehren die Imprägnierung unbemerkt auf.',
    },
    grades: ['M'],
    mark: 'common practice, no source',
    source: {
      en: "sellers' and owners' magazines say it alike; none is kept to be named",
      de: 'Hefte von Händlern und Besitzern sagen es gleich; keines ist aufgehoben, das sich nennen ließe',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'days-after-fitting', from: 175, to: 230 }],
    for: { material: 'cloth' },
    harm: 4,
  },
  {
    id: 'first-yearly-visit',
    text: {
      en: 'The first yearly visit is coming up: choose one of three weeks.',
      de: 'Der erste Jahrestermin steht an: Wählen Sie eine von drei Wochen.',
    },
    why: {
      en: 'Oil in the joints and a look at the washers once a year is the least a frame needs.',
      de: 'Einmal im Jahr Öl in die Gelenke und ein Blick auf die Unterlegscheiben ist das Mindeste für ein Gestänge.',
    },
    grades: ['T'],
    mark: 'common practice, no source',
    source: {
      en: 'habit of the trade',
      de: 'Brauch des Handwerks',
    },
    carriedBy: 'lubrication-ahead',
    when: [{ kind: 'days-after-fitting', from: 330, to: 365 }],
    for: {},
    harm: 9,
  },
  {
    id: 'report-after-visit',
    text: {
      en: 'After each visit you get a report: what was found, what was measured, and when the next one is due.',
      de: 'Nach jedem Besuch erhalten Sie einen Bericht: was gefunden und gemessen wurde und wann der nächste fällig ist.',
    },
    why: {
      en: 'It is your proof that the top was cared for.',
      de: 'Er ist Ihr Nachweis, dass das Verdeck gepflegt wurde.',
    },
    grades: ['T'],
    mark: 'shop rule',
    source: {
      en: 'proposed here',
      de: 'hier vorgeschlagen',
    },
    carriedBy: 'visit-report',
    when: [],
    for: {},
    harm: 3,
  },
  {
    id: 'look-before-warranty-ends',
    text: {
      en: 'Before the warranty of a part ends, have it looked at while a fault would still be covered.',
      de: 'Lassen Sie vor Ablauf der Garantie eines Teils nachsehen, solange ein Fehler noch gedeckt wäre.',
    },
    why: {
      en: 'A fault found in time costs you nothing.',
      de: 'Ein rechtzeitig gefundener Fehler kostet Sie nichts.',
    },
    grades: ['T'],
    mark: 'shop rule',
    source: {
      en: 'proposed here',
      de: 'hier vorgeschlagen',
    },
    carriedBy: 'warranty-ending',
    when: [],
    for: {},
    harm: 5,
  },
  {
    id: 'renewal-vinyl-outdoors',
    text: {
      en: 'A vinyl top that lives outdoors is now of an age to be looked over; it is wise to begin saving for a new one.',
      de: 'Ein Kunstlederverdeck im Freien ist nun in einem Alter, in dem man es durchsehen lässt; langsam für ein neues zu sparen ist klug.',
    },
    why: {
      en: 'Plain vinyl in the open can be worn out after some five years.',
      de: 'Einfaches Kunstleder kann im Freien nach etwa fünf Jahren verbraucht sein.',
    },
    grades: ['T'],
    mark: 'shop rule',
    source: {
      en: "the age at which it is said is proposed here (shop rule); that covers last from 5 to over 20 years stands in an insurer's hood article and a magazine (common practice)",
      de: 'das Alter, in dem es gesagt wird, ist hier vorgeschlagen (Werkstattregel); dass Bezüge 5 bis über 20 Jahre halten, steht im Artikel eines Versicherers und in einem Heft (allgemeiner Brauch)',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'years-after-fitting', from: 5 }],
    for: { material: 'vinyl', place: ['outdoors', 'street'] },
    harm: 3,
    repeatMonths: 24,
  },
  {
    id: 'renewal-cloth-outdoors',
    text: {
      en: 'A cloth top that lives outdoors is now of an age to be looked over; it is wise to begin saving for a new one.',
      de: 'Ein Stoffverdeck im Freien ist nun in einem Alter, in dem man es durchsehen lässt; langsam für ein neues zu sparen ist klug.',
    },
    why: {
      en: 'Ten years is a common life for a cover, less in sun and rain.',
      de: 'Zehn Jahre hält ein Bezug im Mittel, in Sonne und Regen weniger.',
    },
    grades: ['T'],
    mark: 'shop rule',
    source: {
      en: "the age at which it is said is proposed here (shop rule); that covers last from 5 to over 20 years stands in an insurer's hood article and a magazine (common practice)",
      de: 'das Alter, in dem es gesagt wird, ist hier vorgeschlagen (Werkstattregel); dass Bezüge 5 bis über 20 Jahre halten, steht im Artikel eines Versicherers und in einem Heft (allgemeiner Brauch)',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'years-after-fitting', from: 7 }],
    for: { material: 'cloth', place: ['outdoors', 'street'] },
    harm: 3,
    repeatMonths: 24,
  },
  {
    id: 'renewal-garaged',
    text: {
      en: 'After ten years even a garaged top deserves a thorough look at cover, padding and straps.',
      de: 'Nach zehn Jahren verdient auch ein Verdeck aus der Garage eine gründliche Durchsicht von Bezug, Polster und Gurten.',
    },
    why: {
      en: 'What ages under the cover is not seen until it is lifted.',
      de: 'Was unter dem Bezug altert, sieht man erst beim Anheben.',
    },
    grades: ['T'],
    mark: 'shop rule',
    source: {
      en: "the age at which it is said is proposed here (shop rule); that covers last from 5 to over 20 years stands in an insurer's hood article and a magazine (common practice)",
      de: 'das Alter, in dem es gesagt wird, ist hier vorgeschlagen (Werkstattregel); dass Bezüge 5 bis über 20 Jahre halten, steht im Artikel eines Versicherers und in einem Heft (allgemeiner Brauch)',
    },
    carriedBy: 'care-note',
    when: [{ kind: 'years-after-fitting', from: 10 }],
    for: { place: ['heated-garage', 'dry-garage', 'damp-garage'] },
    harm: 3,
    repeatMonths: 24,
  },
];
