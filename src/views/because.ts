/** Whoever has the words of a language: the pages and the letters alike. */
export interface Voice {
  say(key: string, fillings?: Readonly<Record<string, string>>): string;
}

/** The lines of the lubrication sum, each with the phrase that says it in the reader's language. */
const LINES: readonly (readonly [line: RegExp, key: string])[] = [
  [/^(?<n>\d+) months at most$/, 'because.at-most'],
  [
    /^climate figures \(class (?<class>\w+), by its uncertainty (?<low>\w+) to (?<high>\w+)\): (?<n>\d+)$/,
    'because.climate.range',
  ],
  [
    /^climate figures \(class (?<class>\w+), \w+ by its uncertainty too\): (?<n>\d+)$/,
    'because.climate.sure',
  ],
  // As they were written down before the uncertainty was.
  [/^climate figures \(class (?<class>\w+)\): (?<n>\d+)$/, 'because.climate'],
  [/^climate figures are for open air and say nothing of a heated garage$/, 'because.climate.not'],
  [
    /^climate figures are for open air, and a dry garage keeps off rain and some of the salt$/,
    'because.climate.not.dry',
  ],
  [/^(?<keeping>[^(]+) \(class (?<class>\w+)\): (?<n>\d+)$/, 'because.keeping'],
  [/^not told (?<untold>[^:]+): (?<n>\d+)$/, 'because.untold'],
  [/^daily use: (?<n>\d+)$/, 'because.daily'],
  [/^over (?<folds>\d+) folds a year: (?<n>\d+)$/, 'because.folds'],
  [/^daily use and over (?<folds>\d+) folds a year: (?<n>\d+)$/, 'because.daily-and-folds'],
  [/^unmoved over (?<days>\d+) days: (?<n>\d+)$/, 'because.unmoved'],
  [/^pivot stiff or washer missing: (?<n>\d+)$/, 'because.fault'],
  [/^never under (?<least>\d+) months: (?<n>\d+)$/, 'because.at-least'],
  [/^anything shorter than (?<n>\d+) months is a shop rule$/, 'because.shop-rule'],
];

/** Whether a sum says that nobody has told all of how the car is kept. */
export function lacksKeeping(because: readonly string[]): boolean {
  return because.some((line) => line.startsWith('not told '));
}

const PLACES = ['heated garage', 'dry garage', 'damp garage', 'street', 'outdoors'];

/**
 * One line of the sum in the reader's language. The sum is kept as it was worked out, in English; a
 * line that is not known here is shown as it stands rather than not at all.
 */
export function becauseInWords(line: string, voice: Voice): string {
  for (const [pattern, key] of LINES) {
    const groups = pattern.exec(line)?.groups;
    if (groups === undefined) continue;
    const { keeping, untold, ...fillings } = groups;
    if (untold !== undefined) {
      const told = untold
        .split(', ')
        .map((part) => voice.say(`untold.${part.replaceAll(' ', '-')}`));
      return voice.say(key, { ...fillings, untold: told.join(', ') });
    }
    if (keeping === undefined) return voice.say(key, fillings);
    const told = keepingInWords(keeping, voice);
    return told === null ? line : voice.say(key, { ...fillings, keeping: told });
  }
  return line;
}

/** "outdoors by the sea", or null where a part of it is not known. */
function keepingInWords(keeping: string, voice: Voice): string | null {
  const place = PLACES.find((known) => keeping.startsWith(known));
  if (place === undefined) return null;
  const salt = keeping.slice(place.length).replace(/^,? /, '');
  const key = `salt.${salt.replaceAll(' ', '-')}`;
  if (!SALTS.includes(salt)) return null;
  return `${voice.say(`place.${place.replaceAll(' ', '-')}`)}, ${voice.say(key)}`;
}

const SALTS = [
  'away from salt',
  'salted winter roads',
  'salted winter roads but not driven in winter',
  'a few km from the sea',
  'by the sea',
  'on the sea front',
];
