import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { RenderRefused } from '../../../src/views/words/refused.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { writeLetter } from './reading.ts';
import { printable, strictly } from '../../../src/views/letters/strict.ts';

type Tree = Record<string, unknown>;

const isTree = (value: unknown): value is Tree => typeof value === 'object' && value !== null;

const MAY_BE_ABSENT = new Set(['topWords']);

/** Every object in a model, with its path. */
function objectsIn(value: unknown, path: string[] = []): { path: string[]; node: Tree }[] {
  if (!isTree(value)) return [];
  const below = Object.entries(value).flatMap(([key, child]) => objectsIn(child, [...path, key]));
  return Array.isArray(value) ? below : [{ path, node: value }, ...below];
}

function refusal(kind: string, model: unknown): string {
  try {
    writeLetter(kind, model);
  } catch (error) {
    if (error instanceof RenderRefused) return error.field;
    throw error;
  }
  return 'not refused';
}

describe.each(LETTER_KINDS)('%s', (kind) => {
  it('is refused for each field that is missing, by its name', () => {
    for (const { path } of objectsIn(sampleModel(kind))) {
      const names = Object.keys(at(sampleModel(kind), path));
      for (const name of names.filter((candidate) => !MAY_BE_ABSENT.has(candidate))) {
        const model = sampleModel(kind);
        delete at(model, path)[name];
        expect(refusal(kind, model)).toBe([...path, name].join('.'));
      }
    }
  });

  it('is refused for each field that it does not know, by its name', () => {
    for (const { path } of objectsIn(sampleModel(kind))) {
      const model = sampleModel(kind);
      at(model, path)['surplus'] = 'x';
      expect(refusal(kind, model)).toBe([...path, 'surplus'].join('.'));
    }
  });

  it('is refused where a field holds nothing printable', () => {
    for (const { path, node } of objectsIn(sampleModel(kind))) {
      for (const [name, value] of Object.entries(node)) {
        for (const bad of [undefined, Number.NaN, {}, '', Symbol('x')]) {
          if (bad === undefined && MAY_BE_ABSENT.has(name)) continue;
          if (typeof value === 'object' && value !== null) continue;
          const model = sampleModel(kind);
          at(model, path)[name] = bad;
          expect(refusal(kind, model)).toBe([...path, name].join('.'));
        }
      }
    }
  });
});

function at(model: unknown, path: readonly string[]): Tree {
  const node = path.reduce<unknown>(
    (above, key) => (isTree(above) ? above[key] : undefined),
    model,
  );
  if (!isTree(node)) throw new Error(`nothing at ${path.join('.')}`);
  return node;
}

function dueOn(day: string): object {
  const model = sampleModel('lubrication-due');
  return { ...model, cars: model.cars.map((car) => ({ ...car, dueOn: day })) };
}

function stopAt(address: string): object {
  const links = { preferences: null, owner: null, advice: null, privacy: null, stop: address };
  return { ...sampleModel('care-note'), links };
}

function withLogo(address: string): object {
  const model = sampleModel('care-note');
  return { ...model, organisation: { ...model.organisation, logo: address } };
}

describe('the fields', () => {
  it('takes only days that exist', () => {
    expect(refusal('lubrication-due', dueOn('2027-02-29'))).toBe('cars.0.dueOn');
    expect(refusal('lubrication-due', dueOn('2028-02-29'))).toBe('not refused');
  });

  it('takes only web addresses as links, and no script', () => {
    const bad = [
      'ftp://a.example.org/u/1',
      '/u/1',
      'https://a.example.org/" onclick="x',
      'http://',
    ];
    for (const address of bad) expect(refusal('care-note', stopAt(address))).toBe('links.stop');
    expect(refusal('care-note', stopAt('https://a.example.org/u/1?a=1&b=2'))).toBe('not refused');
  });

  it('takes only pictures inside the letter, and small ones', () => {
    const big = `data:image/png;base64,${'A'.repeat(20_000)}`;
    for (const bad of ['https://a.example.org/a.png', 'data:text/html;base64,AAAA', big]) {
      expect(refusal('care-note', withLogo(bad))).toBe('organisation.logo');
    }
  });

  it('refuses zones and languages that do not exist, and kinds too', () => {
    const model = sampleModel('care-note');
    expect(refusal('care-note', { ...model, timeZone: 'Mars/Base' })).toBe('timeZone');
    expect(refusal('care-note', { ...model, language: 'no language' })).toBe('language');
    expect(refusal('no-kind', model)).toBe('kind');
  });

  it('refuses a week that the year does not have', () => {
    const model = sampleModel('visit-offered');
    const offers = [{ registration: 'FK 204', url: 'https://a.example.org/', weeks: ['2027-W53'] }];
    expect(refusal('visit-offered', { ...model, offers })).toBe('week');
  });
});

describe('templates', () => {
  it('cannot read a field that is not there, at any depth', () => {
    const data: Tree = strictly({ car: { name: 'a' }, list: [{ x: 1 }] });
    expect(() => at(data, ['car', 'nmae'])).toThrow(/^car\.nmae: the letter has no such field/);
    expect(() => at(data, ['list', '0', 'y'])).toThrow(/^list\.0\.y: /);
    expect(at(data, ['list', '0'])['x']).toBe(1);
    expect(Array.isArray(data['list']) && data['list'].map(String)).toHaveLength(1);
  });

  it('print words and numbers and nothing else', () => {
    expect(printable('a')).toBe('a');
    expect(printable(3)).toBe('3');
    for (const bad of [undefined, null, Number.NaN, {}, [], true]) {
      expect(() => printable(bad)).toThrow(RenderRefused);
    }
  });
});
