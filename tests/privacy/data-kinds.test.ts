import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { ABOUT_NOBODY, DATA_KINDS } from '../../src/domain/privacy/data-kinds.ts';
import { RETENTION_FIGURES } from '../../src/domain/privacy/retention-figures.ts';
import { pageWords } from '../../src/views/words/voice.ts';

/** Every column of every table, as the models have them: `table.column`. */
function columnsOfModels(): string[] {
  const models = readFileSync(new URL('../../prisma/models.prisma', import.meta.url), 'utf8');
  return [...models.matchAll(/^model \w+ \{\n([\s\S]*?)^\}/gm)].flatMap(([, body = '']) => {
    const table = /@@map\("(\w+)"\)/.exec(body)?.[1] ?? '';
    return [...body.matchAll(/^ {2}(\w+) +(?:String|Int|Float|Boolean)\b/gm)].map(
      ([, column = '']) => `${table}.${column}`,
    );
  });
}

const named = (columns: Readonly<Record<string, readonly string[]>>): string[] =>
  Object.entries(columns).flatMap(([table, names]) => names.map((name) => `${table}.${name}`));

it('names every column of the schema once: as held about somebody, or about nobody', () => {
  const columns = columnsOfModels();
  expect(columns.length).toBeGreaterThan(300);
  const list = [...DATA_KINDS.flatMap((kind) => named(kind.columns)), ...named(ABOUT_NOBODY)];
  expect([...list].sort()).toEqual([...columns].sort());
});

it('has words for every kind in every language, and a figure for each that goes by itself', () => {
  const languages = [...pageWords()];
  expect(languages.map(([language]) => language).sort()).toEqual(['de', 'en']);
  for (const { id, keptBy } of DATA_KINDS) {
    for (const [language, words] of languages) {
      for (const fact of ['name', 'what', 'why', 'who']) {
        expect([language, words[`privacy.kind.${id}.${fact}`]]).toEqual([
          language,
          expect.stringMatching(/\p{L}{2}/u),
        ]);
      }
    }
    expect(keptBy === null || Object.hasOwn(RETENTION_FIGURES, keptBy)).toBe(true);
  }
});

it('keeps everything by default but the sign-in log', () => {
  const going = Object.entries(RETENTION_FIGURES).filter(([, { value }]) => value > 0);
  expect(going.map(([name]) => name)).toEqual(['signInLogMonths']);
});
