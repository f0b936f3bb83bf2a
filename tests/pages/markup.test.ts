import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { field, tick } from '../../src/http/pages/frame/form.ts';
import { unbroken } from '../../src/http/pages/frame/phone-words.ts';

const folder = new URL('../../templates/pages/', import.meta.url);
const templates = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.eta'))
  .map((name) => [name, readFileSync(new URL(name, folder), 'utf8')] as const);

test('every button says what it does to its form', () => {
  const silent = templates.flatMap(([name, text]) =>
    (text.match(/<button\b[^>]*>/g) ?? [])
      .filter((button) => !/\stype="(?:submit|button|reset)"/.test(button))
      .map((button) => `${name}: ${button}`),
  );
  expect(templates.length).toBeGreaterThan(20);
  expect(silent).toEqual([]);
});

// CSS Selectors 4, 5.2 and CSS Syntax 3: an identifier needs no escape.
const PLAIN = /^[A-Za-z][\w-]*$/;

test('the id of a field can stand in a selector as it is', () => {
  expect(field(null, 'readings/5/radialPlayMm', 'Radial').id).toMatch(PLAIN);
  expect(tick(null, 'readings/5/oiled', 'Oiled', true).id).toMatch(PLAIN);
});

test('ids written out in templates can stand in a selector', () => {
  const ids = templates.flatMap(([, text]) => [...text.matchAll(/\sid="([^"<]+)"/g)]);
  expect(ids.length).toBeGreaterThan(5);
  for (const [, id] of ids) expect(id).toMatch(PLAIN);
});

test('a telephone number offers no place to break a line', () => {
  expect(unbroken('+44 1632 960-114')).not.toMatch(/[ -]/);
  expect(unbroken('+44 1632 960-114').normalize('NFKC').replaceAll('\u2010', '-')).toBe(
    '+44 1632 960-114',
  );
});
