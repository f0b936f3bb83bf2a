import type { NoteHead } from './advice.ts';

const head = (en: string, de: string): NoteHead => ({ subject: { en, de } });

/** Heads of the notes about a new top, and about one that has come of age. */
export const FITTING_HEADS: Readonly<Record<string, NoteHead>> = {
  'leave-up-48-hours': head(
    'The first two days with your new top',
    'Die ersten zwei Tage mit Ihrem neuen Verdeck',
  ),
  'settle-vinyl': head(
    'Give your new vinyl top a week or two',
    'Geben Sie Ihrem neuen Kunstlederverdeck ein, zwei Wochen',
  ),
  'settle-cloth': head(
    'Give your new cloth top a few days',
    'Geben Sie Ihrem neuen Stoffverdeck ein paar Tage',
  ),
  'tight-is-right': {
    ...head('Your new top is meant to be tight', 'Ihr neues Verdeck darf stramm sein'),
    preheader: {
      en: 'One that shuts easily on the first day hangs loose a year later.',
      de: 'Bitte lassen Sie die Vorderkante nicht nachlassen.',
    },
  },
  'warm-before-judging': head(
    'Does the new top feel too short? Warm it first',
    'Wirkt das neue Verdeck zu kurz? Erst wärmen',
  ),
  'settling-drive': head(
    'A calm drive does a new top good',
    'Eine ruhige Fahrt tut dem neuen Verdeck gut',
  ),
  'first-fold-shown': head('Before the very first time you open it', 'Vor dem allerersten Öffnen'),
  'settling-visit': head('Time for the short settling visit', 'Zeit für die kurze Nachschau'),
  'first-wash': head(
    'Your new top may be washed now',
    'Ihr neues Verdeck darf jetzt gewaschen werden',
  ),
  'first-clean': head(
    'The first clean, if it needs one',
    'Die erste Reinigung, falls sie nötig ist',
  ),
  'bead-test-half-year': head(
    'A spoonful of water tells you a lot',
    'Ein Löffel Wasser verrät viel',
  ),
  'renewal-vinyl-outdoors': head(
    'Your vinyl top has earned a good look',
    'Ihr Kunstlederverdeck hat einen gründlichen Blick verdient',
  ),
  'renewal-cloth-outdoors': head(
    'Your cloth top has earned a good look',
    'Ihr Stoffverdeck hat einen gründlichen Blick verdient',
  ),
  'renewal-garaged': head(
    'Ten years on: a look under the cover',
    'Nach zehn Jahren: ein Blick unter den Bezug',
  ),
};
