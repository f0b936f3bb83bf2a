// In this order: many browsers call themselves by the names of others too.
const BROWSERS: readonly (readonly [RegExp, string])[] = [
  [/Edg(?:A|iOS)?\//, 'Edge'],
  [/OPR\//, 'Opera'],
  [/Firefox\/|FxiOS\//, 'Firefox'],
  [/Chrom(?:e|ium)\/|CriOS\//, 'Chrome or Chromium'],
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
export function deviceInWords(agent: string): string {
  const of = (names: typeof BROWSERS) => names.find(([sign]) => sign.test(agent))?.[1];
  const [browser, system] = [of(BROWSERS), of(SYSTEMS)];
  if (browser === undefined && system === undefined) return 'a browser';
  return [browser ?? 'a browser', ...(system === undefined ? [] : [system])].join(' on ');
}
