import { alsoBlocks } from './also.ts';
import { offersOf } from './offers.ts';
import type { Checked } from './models.ts';
import { careWords } from './stay.ts';
import { carName, EMPTY_BODY, type LetterBody, registrations, type Speaker } from './sheet.ts';

type CareNote = Checked<'care-note'>;
type WarrantyEnding = Checked<'warranty-ending'>;

/** Care advice, each with its reason and who stands behind it. */
export function careBody(model: CareNote, speaker: Speaker): LetterBody {
  return {
    ...EMPTY_BODY,
    first: careWords(model.moves, speaker),
    cars: [{ name: registrations(speaker, model.cars), facts: [], notes: [] }],
    advice: model.advice.map(({ text, why, grade }) => {
      const grades = Array.isArray(grade) ? grade : [grade];
      const who = grades.length === 0 ? ['none'] : [...new Set(grades)];
      return { text, why, support: speaker.list(who.map((g) => speaker.say(`grade.${g}`))) };
    }),
    cautions: ['hands', 'cleaners', 'force', 'handbook'].map((k) => speaker.say(`caution.${k}`)),
  };
}

/** Which part's warranty ends when, and what was noted about it and is still open. */
export function warrantyBody(model: WarrantyEnding, speaker: Speaker): LetterBody {
  const first = model.cars.reduce((a, b) => (b.endsOn < a.endsOn ? b : a));
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  return {
    ...EMPTY_BODY,
    first: model.also.advice.length > 0 ? careWords(model.moves, speaker) : [],
    also: alsoBlocks(model.also, speaker),
    figures: { part: first.part, ends: speaker.day(first.endsOn) },
    cars: model.cars.map((car) => ({
      name: carName(car),
      facts: [fact('part', car.part), fact('ends', speaker.day(car.endsOn))],
      notes: car.openNotes.map((note) => speaker.say('warranty.open', { note })),
    })),
    offers: offersOf({ organisation: model.organisation, offers: [] }, speaker),
  };
}
