import { describe, expect, it } from 'vitest';
import { voiceFor } from '../../src/views/words/voice.ts';

describe('a sentence of a rule in German', () => {
  it.each([
    ['left link 1 is stiff', 'Lenkergelenk 1 links ist schwergängig'],
    ['right link 2 is loose', 'Lenkergelenk 2 rechts ist lose'],
    [
      'right knuckle 1 has an oval hole',
      'Kniegelenk 1 rechts hat eine oval ausgeschlagene Bohrung',
    ],
    ['left main is dry', 'Hauptgelenk links ist trocken'],
    ['left link pivot 1: stiff', 'Lenkergelenk 1 links: schwergängig'],
  ])('takes no more of it for a number than the number: %s', (english, german) => {
    expect(voiceFor('de').tell(english)).toBe(german);
  });
});
