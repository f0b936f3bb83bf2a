import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const css = readFileSync(
  new URL('../../../templates/letters/letters.css', import.meta.url),
  'utf8',
);
const dark = /@media \(prefers-color-scheme: dark\) \{([\s\S]*?)\n\}/.exec(css)?.[1] ?? '';
const light = css.slice(0, css.indexOf('\n@media'));

type Colours = Map<string, Map<string, string>>;

function coloursOf(source: string): Colours {
  const found: Colours = new Map();
  for (const [, name = '', body = ''] of source.matchAll(/\.([a-z]+) \{([^}]*)\}/g)) {
    const set = body.matchAll(/(color|background-color|border[a-z-]*): [^;#]*(#[0-9a-f]{6})/g);
    found.set(name, new Map([...set].map(([, property = '', value = '']) => [property, value])));
  }
  return found;
}

/** Relative luminance after WCAG 2.2 (published). */
function luminance(colour: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Contrast after WCAG 2.2, "contrast ratio" (published). */
function contrast(one: string, other: string): number {
  const [bright, dim] = [luminance(one), luminance(other)].toSorted((a, b) => b - a);
  return ((bright ?? 0) + 0.05) / ((dim ?? 0) + 0.05);
}

it('reckons contrast as the standard does', () => {
  // W3C, Understanding SC 1.4.3: black on white is 21:1; #767676 on white just passes 4.5:1, #777777
  // just fails (published).
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  expect(contrast('#767676', '#ffffff')).toBeGreaterThanOrEqual(4.5);
  expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
});

describe.each([
  ['light', coloursOf(light)],
  ['dark', coloursOf(dark)],
])('in %s', (_, colours) => {
  const sheet = colours.get('sheet')?.get('background-color') ?? '';
  const box = colours.get('cautions')?.get('background-color') ?? '';

  it('every text stands out from what is behind it: 4.5 to 1 at least (WCAG 2.2 SC 1.4.3)', () => {
    let pairs = 0;
    for (const [name, set] of colours) {
      const ink = set.get('color');
      if (ink === undefined || name === 'preheader') continue;
      const own = set.get('background-color');
      for (const paper of own === undefined ? [sheet, box] : [own]) {
        pairs += 1;
        expect([name, contrast(ink, paper) >= 4.5]).toEqual([name, true]);
      }
    }
    expect(pairs).toBeGreaterThan(20);
  });

  it('buttons stand out from the sheet: 3 to 1 at least (WCAG 2.2 SC 1.4.11)', () => {
    for (const name of ['button', 'quiet']) {
      const set = colours.get(name);
      const edge = set?.get('border') ?? set?.get('border-color') ?? '';
      expect(contrast(edge, sheet)).toBeGreaterThanOrEqual(3);
    }
  });
});

it('gives every colour of the light letter its counterpart in the dark', () => {
  const counterparts = coloursOf(dark);
  expect(coloursOf(light).size).toBeGreaterThan(20);
  for (const [name, set] of coloursOf(light)) {
    if (name === 'preheader') continue;
    for (const property of set.keys()) {
      const kin = [...(counterparts.get(name)?.keys() ?? [])].some((other) =>
        other.startsWith(property.slice(0, 6)),
      );
      expect([name, property, kin]).toEqual([name, property, true]);
    }
  }
});
