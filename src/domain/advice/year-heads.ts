import type { NoteHead } from './advice.ts';

const head = (en: string, de: string): NoteHead => ({ subject: { en, de } });

/** Heads of the notes of the year, in the order of the northern one. */
export const YEAR_HEADS: Readonly<Record<string, NoteHead>> = {
  'january-humidity': head('How damp is your garage?', 'Wie feucht ist Ihre Garage?'),
  'february-book-now': head(
    'A day in spring, chosen while it is quiet',
    'Ein Tag im Frühjahr, in Ruhe ausgesucht',
  ),
  'march-salt-off': head(
    'Winter salt off before the spring',
    'Das Wintersalz herunter, bevor der Frühling kommt',
  ),
  'march-oil-and-drains': head(
    'A drop of oil before the warm days',
    'Ein Tropfen Öl vor den warmen Tagen',
  ),
  'march-drains': head('Are the drains clear?', 'Sind die Abläufe frei?'),
  'april-first-fold': head(
    'For the first warm day of the year',
    'Für den ersten warmen Tag des Jahres',
  ),
  'april-proof-cloth': head(
    'Once a year: proof the cloth',
    'Einmal im Jahr: den Stoff imprägnieren',
  ),
  'may-tests': head('Two quick tests for your seals', 'Zwei schnelle Proben für Ihre Dichtungen'),
  'may-bead-test': head(
    'After the next shower, look at the cloth',
    'Nach dem nächsten Schauer auf den Stoff sehen',
  ),
  'june-shade': head('Shade does your top good', 'Schatten tut Ihrem Verdeck gut'),
  'june-vinyl-sun': head('Sun protection for vinyl', 'Sonnenschutz für Kunstleder'),
  'raise-before-travel': {
    ...head('A thought before your next journey', 'Ein Gedanke vor der nächsten Reise'),
    preheader: {
      en: 'A few minutes at the door save weeks of creases.',
      de: 'Wenige Minuten vor der Tür ersparen wochenlange Knicke.',
    },
  },
  'august-fresh-water': head('After a day by the sea', 'Nach einem Tag am Meer'),
  'september-stitches': head('One stitch in good time', 'Ein Stich zur rechten Zeit'),
  'tailgate-seal-in-place': head(
    'Is the seal of the tailgate still there?',
    'Ist die Dichtung der Heckklappe noch da?',
  ),
  'october-proof': head('Before the wet months: the cloth', 'Vor den nassen Monaten: der Stoff'),
  'october-clean-vinyl': head(
    'Before the wet months: a gentle wash',
    'Vor den nassen Monaten: eine schonende Wäsche',
  ),
  'october-seals-and-drains': head('Once the leaves are down', 'Wenn das Laub unten ist'),
  'november-lay-up': {
    ...head('Your top over the winter', 'Ihr Verdeck im Winter'),
    preheader: {
      en: 'Indoors a sheet that breathes is fine; never a waterproof one.',
      de: 'Drinnen gern eine atmende Decke, nie eine wasserdichte.',
    },
  },
  'november-moisture-trap': head(
    'Keep the damp out this winter',
    'Die Feuchte im Winter fernhalten',
  ),
  'december-snow': head('Snow on the top', 'Schnee auf dem Verdeck'),
};
