import { isDay } from '../calendar/day.ts';
import { plainName } from './guess-columns.ts';
import type { ForAllLines } from './table-fields.ts';

/** In which order the days of a table are written, where they are not year first. */
export type DayOrder = 'day-first' | 'month-first';
export type DecimalSign = ',' | '.';

const SHORT_DAY = /^(\d{1,2})[./-](\d{1,2})[./-](\d{2}|\d{4})$/;
const SPELT_DAY = /^(\d{1,2})(?:\.|st|nd|rd|th)? ?(\p{L}{3,9})\.?,? (\d{4})$/u;
const SPELT_MONTH_FIRST = /^(\p{L}{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})$/u;
/** In English and German, as `plainName` writes them; their beginnings stand for them too. */
const MONTHS: readonly (readonly string[])[] = [
  ['january', 'januar', 'janner'],
  ['february', 'februar'],
  ['march', 'marz', 'mrz'],
  ['april'],
  ['may', 'mai'],
  ['june', 'juni'],
  ['july', 'juli'],
  ['august'],
  ['september'],
  ['october', 'oktober'],
  ['november'],
  ['december', 'dezember'],
];

/** "15. 3. 2024" is written without the gaps. */
function closed(cell: string): string {
  return cell
    .trim()
    .replaceAll(/(?<=\d)\s*([./-])\s*(?=\d)/g, '$1')
    .replaceAll(/\s+/g, ' ');
}

/**
 * In which order days are written, from all of them; `sure` where one of them can be read in one way
 * only (its first or second figure is above 12, or points stand between them as in German), and none
 * of the others in the other way only.
 */
export function guessDayOrder(
  cells: readonly string[],
  usual: DayOrder,
): { readonly order: DayOrder; readonly sure: boolean } {
  let dayFirst = 0;
  let monthFirst = 0;
  let short = 0;
  for (const cell of cells) {
    const [, first = '', second = ''] = SHORT_DAY.exec(closed(cell)) ?? [];
    if (first === '') continue;
    short += 1;
    if (Number(first) > 12 || cell.includes('.')) dayFirst += 1;
    else if (Number(second) > 12) monthFirst += 1;
  }
  if (dayFirst !== monthFirst) {
    const sure = Math.min(dayFirst, monthFirst) === 0;
    return { order: dayFirst > monthFirst ? 'day-first' : 'month-first', sure };
  }
  return { order: usual, sure: short === 0 };
}

/**
 * A day as `YYYY-MM-DD`; null where the cell is none. Years of two figures are of the hundred years
 * that end with this one, since no top was fitted in the future.
 */
export function dayFrom(cell: string, order: DayOrder, thisYear: number): string | null {
  const text = closed(cell);
  const [, iso = ''] =
    /^(\d{4}-\d{2}-\d{2})(?:[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?Z?)?$/.exec(text) ?? [];
  if (iso !== '') return isDay(iso) ? iso : null;
  const [, year4 = '', m4 = '', d4 = ''] = /^(\d{4})[./](\d{1,2})[./](\d{1,2})$/.exec(text) ?? [];
  if (year4 !== '') return whole(year4, m4, d4);
  const [, first = '', second = '', last = ''] = SHORT_DAY.exec(text) ?? [];
  if (first === '') return speltDay(text);
  const year = last.length === 4 ? last : String(fullYear(Number(last), thisYear));
  return order === 'day-first' ? whole(year, second, first) : whole(year, first, second);
}

/** The two days that a cell may mean, day first and month first; null where it can mean one at most. */
export function twoDaysIn(cell: string, thisYear: number): readonly [string, string] | null {
  if (!SHORT_DAY.test(closed(cell)) || cell.includes('.')) return null;
  const dayFirst = dayFrom(cell, 'day-first', thisYear);
  const monthFirst = dayFrom(cell, 'month-first', thisYear);
  if (dayFirst === null || monthFirst === null || dayFirst === monthFirst) return null;
  return [dayFirst, monthFirst];
}

/** Whether a cell is a day in one order or the other. */
export function isDayWritten(cell: string): boolean {
  // Only years of two figures ask which year it is, and each of them is one.
  return (['day-first', 'month-first'] as const).some(
    (order) => dayFrom(cell, order, LEAP_YEAR) !== null,
  );
}

const LEAP_YEAR = 2000;

const NEVER: readonly string[] = [
  'never',
  'not yet',
  'never yet',
  'none',
  'unknown',
  'nie',
  'niemals',
  'noch nie',
  'noch nicht',
  'keine',
  'unbekannt',
];

/** Whether a cell for a day says that there is none, or that nobody knows it: never, unknown, a dash. */
export function isNoDay(cell: string): boolean {
  const said = plainName(cell);
  return said === '' || NEVER.includes(said);
}

/** A day whose month is a word: 15. März 2024, 15 Mar 2024, March 15, 2024. */
function speltDay(text: string): string | null {
  const [, day = '', month = '', year = ''] = SPELT_DAY.exec(text) ?? [];
  const [, word = '', date = '', of = ''] = SPELT_MONTH_FIRST.exec(text) ?? [];
  const said = plainName(month || word);
  const at = MONTHS.findIndex((names) => names.some((name) => name.startsWith(said)));
  if (said.length < 3 || at < 0) return null;
  return whole(year || of, String(at + 1), day || date);
}

function fullYear(short: number, thisYear: number): number {
  const year = Math.floor(thisYear / 100) * 100 + short;
  return year > thisYear ? year - 100 : year;
}

function whole(year: string, month: string, day: string): string | null {
  const text = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  return isDay(text) ? text : null;
}

/** Which sign stands before the decimals, from all cells with numbers. */
export function guessDecimal(cells: readonly string[]): DecimalSign {
  const ends = (sign: ',' | '.') =>
    cells.filter((cell) => new RegExp(`^[+-]?\\d+\\${sign}\\d{1,2}$`).test(cell.trim())).length;
  return ends(',') > ends('.') ? ',' : '.';
}

/** A number; null where the cell is none. The other sign may part thousands. */
export function numberFrom(cell: string, decimal: DecimalSign): number | null {
  const text = cell
    .trim()
    .replace('−', '-')
    .replaceAll(/[\s\u00a0'’]/g, '');
  const thousands = decimal === ',' ? '.' : ',';
  const grouped = new RegExp(`^[+-]?\\d{1,3}(?:\\${thousands}\\d{3})+(?:\\${decimal}\\d+)?$`);
  const bare = grouped.test(text) ? text.replaceAll(thousands, '') : text;
  return new RegExp(`^[+-]?\\d{1,9}(?:\\${decimal}\\d{1,6})?$`).test(bare)
    ? Number(bare.replace(decimal, '.'))
    : null;
}

// What people write in such cells, beside our own words; compared without case and signs.
const SAME: Readonly<Partial<Record<ForAllLines, Readonly<Record<string, string>>>>> = {
  framePattern: {
    'two seats folded by hand': 'two-seat-manual',
    'four seats folded by hand': 'four-seat-manual',
    'four seats powered': 'four-seat-powered',
    'zwei sitze von hand': 'two-seat-manual',
    'vier sitze von hand': 'four-seat-manual',
    'vier sitze elektrisch': 'four-seat-powered',
  },
  powered: {
    y: 'yes',
    x: 'yes',
    true: 'yes',
    '1': 'yes',
    ja: 'yes',
    j: 'yes',
    wahr: 'yes',
    powered: 'yes',
    power: 'yes',
    motor: 'yes',
    'by motor': 'yes',
    motorised: 'yes',
    motorized: 'yes',
    electric: 'yes',
    electrical: 'yes',
    'electro hydraulic': 'yes',
    hydraulic: 'yes',
    automatic: 'yes',
    elektrisch: 'yes',
    motorisch: 'yes',
    'mit motor': 'yes',
    elektrohydraulisch: 'yes',
    hydraulisch: 'yes',
    automatisch: 'yes',
    vollautomatisch: 'yes',
    n: 'no',
    false: 'no',
    '0': 'no',
    nein: 'no',
    falsch: 'no',
    hand: 'no',
    'by hand': 'no',
    manual: 'no',
    manually: 'no',
    'von hand': 'no',
    'mit der hand': 'no',
    manuell: 'no',
    handbetrieb: 'no',
    handbetatigt: 'no',
    'ohne motor': 'no',
  },
  material: {
    mohair: 'cloth',
    canvas: 'cloth',
    fabric: 'cloth',
    textile: 'cloth',
    stoff: 'cloth',
    pvc: 'vinyl',
  },
  window: {
    plastic: 'clear-vinyl',
    'clear plastic': 'clear-vinyl',
    pvc: 'clear-vinyl',
    vinyl: 'clear-vinyl',
    kunststoff: 'clear-vinyl',
    folie: 'clear-vinyl',
    'bonded glass': 'glass-bonded',
    'glued glass': 'glass-bonded',
    'glas geklebt': 'glass-bonded',
    'geklebtes glas': 'glass-bonded',
    'klares vinyl': 'clear-vinyl',
    glas: 'glass',
  },
  place: {
    outside: 'outdoors',
    draussen: 'outdoors',
    'im freien': 'outdoors',
    strasse: 'street',
    'an der strasse': 'street',
    'beheizte garage': 'heated-garage',
    'geheizte garage': 'heated-garage',
    'trockene garage': 'dry-garage',
    'feuchte garage': 'damp-garage',
  },
  salt: {
    no: 'none',
    nein: 'none',
    keins: 'none',
    keines: 'none',
    winterstrassen: 'winter-roads',
    'nahe am meer': 'near-sea',
    'am meer': 'by-sea',
    'an der kuste': 'sea-front',
  },
  use: {
    'summer only': 'summer',
    sommer: 'summer',
    'nur sommer': 'summer',
    'nur im sommer': 'summer',
    'im sommer': 'summer',
    'all year round': 'all-year',
    ganzjahrig: 'all-year',
    'das ganze jahr': 'all-year',
    everyday: 'daily',
    taglich: 'daily',
  },
};

/** Ticks and crosses, as spreadsheets offer them: signs without a letter. */
const TICKS: Readonly<Record<string, string>> = {
  '✓': 'yes',
  '✔': 'yes',
  '☑': 'yes',
  '✅': 'yes',
  '✗': 'no',
  '✘': 'no',
  '☐': 'no',
  '❌': 'no',
};

/** The word of a closed list that a cell means: our own, or what people write for it; else the cell. */
export function choiceFrom(field: ForAllLines, cell: string, known: readonly string[]): string {
  const tick = TICKS[cell.trim().replace('\uFE0F', '')];
  if (field === 'powered' && tick !== undefined) return tick;
  const said = plainName(cell);
  return known.find((word) => plainName(word) === said) ?? SAME[field]?.[said] ?? cell;
}
