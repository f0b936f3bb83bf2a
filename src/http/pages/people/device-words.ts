import type { Voice } from '../../../views/words/voice.ts';

const CHROME = 'chrome';

// In this order: many browsers call themselves by the names of others too.
const BROWSERS: readonly (readonly [RegExp, string])[] = [
  [/Edg(?:A|iOS)?\//, 'Edge'],
  [/OPR\//, 'Opera'],
  [/Firefox\/|FxiOS\//, 'Firefox'],
  [/Chrom(?:e|ium)\/|CriOS\//, CHROME],
  [/Safari\//, 'Safari'],
];
const SYSTEMS: readonly (readonly [RegExp, string])[] = [
  [/Android/, 'Android'],
  [/iPhone|iPad/, 'iOS'],
  [/Windows/, 'Windows'],
  [/Mac OS X/, 'macOS'],
  [/Linux|X11/, 'Linux'],
];

/** A browser as people know it again, from what it calls itself. */
export function deviceInWords(agent: string, { say }: Voice): string {
  const of = (names: typeof BROWSERS) => names.find(([sign]) => sign.test(agent))?.[1];
  const [named, system] = [of(BROWSERS), of(SYSTEMS)];
  const browser = named === CHROME ? say('device.chrome') : (named ?? say('device.unknown'));
  return system === undefined ? browser : say('device.on', { browser, system });
}
