import { expect, it } from 'vitest';
import { choiceFrom } from '../../src/domain/tables/cell-values.ts';
import { guessColumns } from '../../src/domain/tables/guess-columns.ts';
import {
  FIELD_MEANINGS,
  FOR_ALL_LINES,
  TABLE_FIELDS,
} from '../../src/domain/tables/table-fields.ts';
import { FRAME_PATTERNS } from '../../src/domain/pivots/frame-patterns.ts';
import { knownChoices } from '../../src/usecases/tables/table-rows.ts';
import { toldWords } from '../../src/views/words/told.ts';
import { voiceFor } from '../../src/views/words/voice.ts';

// Whoever writes a table in the words of the page must be understood by it.
const languages = [...toldWords().keys()];

it.each(languages)(
  'columns named as the page in "%s" names them are known for what they are',
  (language) => {
    const { tell } = voiceFor(language);
    for (const field of TABLE_FIELDS) {
      if (field === 'firstName' || field === 'surname') continue;
      const header = [tell(FIELD_MEANINGS[field].title)];
      expect([header, guessColumns(header, [])]).toEqual([header, { [field]: 0 }]);
    }
  },
);

it.each(languages)('a refusal in "%s" lists words that the same cell may hold', (language) => {
  const { tell } = voiceFor(language);
  const known = knownChoices(Object.keys(FRAME_PATTERNS));
  for (const field of FOR_ALL_LINES) {
    const said = tell(`Write one of: ${known[field].join('; ')}.`);
    const listed = said.slice(said.indexOf(': ') + 2, -1).split('; ');
    expect(listed).not.toEqual(known[field]);
    expect(listed.map((word) => choiceFrom(field, word, known[field]))).toEqual(known[field]);
  }
});

it('quotation marks that do not match are told in German, with their line', () => {
  const words =
    'From line 4 on the quotation marks do not match. Double those that are part of a cell.';
  expect(voiceFor('de').tell(words)).toMatch(/^Ab Zeile 4 .* Zelle gehören\.$/);
});
