import { alsoBlocks, alsoSources, sourcesOf } from './also.ts';
import { offersOf } from './offers.ts';
import type { Checked } from './models.ts';
import { notePicture } from './pictures.ts';
import { careWords } from './stay.ts';
import { carName, EMPTY_BODY, type LetterBody, registrations, type Speaker } from './sheet.ts';

type CareNote = Checked<'care-note'>;
type WarrantyEnding = Checked<'warranty-ending'>;

/** Care advice, the first piece under the heading of the letter, with a picture of it. */
export function careBody(model: CareNote, speaker: Speaker): LetterBody {
  const [first] = model.advice;
  return {
    ...EMPTY_BODY,
    fillings: { about: first?.subject ?? '', because: first?.preheader ?? '' },
    first: careWords(model.moves, speaker, model.organisation.kind),
    cars: [{ name: registrations(speaker, model.cars), facts: [], notes: [] }],
    picture: notePicture(first?.id ?? '', speaker.language),
    advice: model.advice.map(({ subject, text, why }, i) => ({
      heading: i === 0 ? null : subject,
      text,
      why,
    })),
    sources: sourcesOf(model, speaker, first?.id),
    cautions: ['hands', 'cleaners', 'force', 'handbook'].map((k) => speaker.say(`caution.${k}`)),
  };
}

/** Which part's warranty ends when, and what was noted about it and is still open. */
export function warrantyBody(model: WarrantyEnding, speaker: Speaker): LetterBody {
  const first = model.cars.reduce((a, b) => (b.endsOn < a.endsOn ? b : a));
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  return {
    ...EMPTY_BODY,
    first:
      model.also.advice.length > 0 ? careWords(model.moves, speaker, model.organisation.kind) : [],
    also: alsoBlocks(model.also, speaker),
    sources: alsoSources(model, speaker),
    fillings: { part: first.part, ends: speaker.day(first.endsOn) },
    cars: model.cars.map((car) => ({
      name: carName(car),
      facts: [fact('part', car.part), fact('ends', speaker.day(car.endsOn))],
      notes: car.openNotes.map((note) => speaker.say('warranty.open', { note })),
    })),
    offers: offersOf(model, speaker),
  };
}

/** A letter of the club in the secretary's own words, paragraph by paragraph, and nothing of ours. */
export function clubBody({ title, paragraphs }: Checked<'club-letter'>): LetterBody {
  return { ...EMPTY_BODY, fillings: { title }, notes: paragraphs };
}
