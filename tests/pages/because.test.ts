import { describe, expect, it } from 'vitest';
import { PLACES, SALTS, USES } from '../../src/domain/lubrication/keeping.ts';
import { lubricationInterval } from '../../src/domain/lubrication/interval.ts';
import { becauseInWords } from '../../src/views/because.ts';
import { pageWords, voiceFor } from '../../src/views/words/voice.ts';

/** Every line that the rule can write about a keeping. */
function everyLine(): Set<string> {
  const lines = new Set<string>();
  for (const place of [...PLACES, null]) {
    for (const salt of [...SALTS, null]) {
      for (const use of [...USES, null]) {
        for (const foldsPerYear of [10, 300]) {
          for (const worse of [true, false]) {
            const keeping = { place, salt, use, foldsPerYear };
            const unmovedDays = worse ? 90 : 0;
            const input = { keeping, stiffOrMissing: worse, unmovedDays };
            for (const line of lubricationInterval(input).because) lines.add(line);
          }
        }
      }
    }
  }
  return lines;
}

describe('the sum behind a due day', () => {
  it('is said in German, whatever the keeping', () => {
    const german = voiceFor('de');
    const lines = everyLine();
    expect(lines.size).toBeGreaterThan(40);
    for (const line of [...lines, 'climate figures (class C4): 9']) {
      const said = becauseInWords(line, german);
      expect(said).not.toBe(line);
      expect(said).not.toMatch(
        /\b(months|class|daily|days|outdoors|garage|sea|salt|told|stands|driven)\b/,
      );
      // Every figure of the line is still there.
      expect(said.match(/\d+/g)).toEqual(expect.arrayContaining(line.match(/\d+/g) ?? []));
    }
  });

  it('shows a line that it does not know as it stands', () => {
    expect(becauseInWords('moon phase (class C9): 4', voiceFor('de'))).toBe(
      'moon phase (class C9): 4',
    );
  });
});

describe('the words of the pages', () => {
  it('are the same keys with the same places in every language', () => {
    const places = (phrase: unknown) =>
      [...new Set(JSON.stringify(phrase).match(/\{\{\w+\}\}/g))].sort();
    const english = pageWords().get('en') ?? {};
    for (const words of pageWords().values()) {
      expect(Object.keys(words).sort()).toEqual(Object.keys(english).sort());
      for (const [key, phrase] of Object.entries(words)) {
        expect([key, places(phrase)]).toEqual([key, places(english[key])]);
      }
    }
  });

  it('say spans in two parts, never rounded up', () => {
    const { span } = voiceFor('en');
    const hour = 3_600_000;
    expect(span(52 * hour)).toBe('2 days 4 hours');
    expect(span(24 * hour)).toBe('1 day');
    expect(span(24 * hour - 1)).toBe('23 hours 59 minutes');
    expect(span(hour + 60_000)).toBe('1 hour 1 minute');
    expect(span(59_999)).toBe('less than a minute');
    expect(voiceFor('de').span(52 * hour)).toBe('2 Tage 4 Stunden');
  });
});
