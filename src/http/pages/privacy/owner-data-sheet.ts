import { dayIn } from '../../../domain/calendar/zone.ts';
import type { Frame } from '../frame/frame.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { type KindModel, kindModel } from './privacy-sheet.ts';

type Row = Readonly<Record<string, unknown>>;

interface DataFacts {
  readonly madeAt: string;
  readonly organisation: { readonly name: string };
  readonly leftOut: readonly 'positions'[];
  readonly records: Readonly<Record<string, readonly Row[]>>;
}

export interface OwnerDataModel {
  readonly say: Voice['say'];
  readonly lead: string;
  /** What the reader is not shown, and why; null where nothing is left out. */
  readonly leftOut: string | null;
  readonly file: string;
  readonly privacy: string;
  readonly back: string;
  readonly kinds: readonly (KindModel & {
    readonly count: string;
    readonly lines: readonly string[];
  })[];
}

/** What of a record is read by people: what was written in words, and the days. The file has all. */
const READ: Readonly<Record<string, readonly string[]>> = {
  owner: ['name', 'email', 'phone', 'postalAddress', 'postcode'],
  consent_entry: ['at', 'words'],
  address_standing: ['deadSince', 'clearedWords'],
  car: ['registration', 'make', 'model', 'year', 'colour'],
  top: ['fittedOn', 'coverName', 'coverColour', 'makersReference'],
  position_entry: ['at', 'position'],
  visit: ['doneOn', 'plannedOn', 'notes'],
  finding: ['text', 'advised', 'decidedOn'],
  letter: ['plannedAt', 'subject'],
  call_entry: ['calledOn', 'notes'],
  link: ['createdAt', 'expiresAt', 'revokedAt'],
  trail: ['at'],
};

/** All that is held about one owner, to be read and printed. */
export function ownerDataSheet(
  { madeAt, organisation, leftOut, records }: DataFacts,
  kinds: readonly {
    readonly id: string;
    readonly months: number;
    readonly tables: readonly string[];
  }[],
  voice: Voice,
  links: { readonly file: string; readonly privacy: string; readonly back: string },
): [Frame, OwnerDataModel] {
  const day = voice.day(madeAt.slice(0, 10));
  const [owner] = records['owner'] ?? [];
  const zone = typeof owner?.['timeZone'] === 'string' ? owner['timeZone'] : 'UTC';
  return [
    { lang: voice.language, title: voice.say('data.title'), nav: null },
    {
      say: voice.say,
      lead: voice.say('data.lead', { day, name: organisation.name }),
      leftOut: leftOut.length === 0 ? null : voice.say('data.no-positions'),
      ...links,
      kinds: kinds.map((kind) => {
        const rows = kind.tables.map((table) => ({ table, rows: records[table] ?? [] }));
        const total = rows.reduce((sum, one) => sum + one.rows.length, 0);
        return {
          ...kindModel(kind, voice),
          count: voice.count('data.count', total),
          lines: rows.flatMap((one) => linesOf(one.table, one.rows, zone, voice)),
        };
      }),
    },
  ];
}

function linesOf(table: string, rows: readonly Row[], zone: string, voice: Voice): string[] {
  const columns = READ[table] ?? [];
  return rows
    .map((row) => columns.flatMap((column) => inWords(column, row[column], zone, voice)).join('; '))
    .filter((line) => line !== '');
}

/** A moment by the clock of whom it is about; what was typed without the stop that would meet a semicolon. */
function inWords(column: string, value: unknown, zone: string, voice: Voice): string[] {
  if (typeof value === 'number') return [String(value)];
  if (typeof value !== 'string' || value === '') return [];
  if (column === 'position') return [voice.say(`position.${value}`)];
  if (/^\d{4}-\d\d-\d\dT/.test(value)) {
    return [`${voice.day(dayIn(zone, value))}, ${voice.time(value, zone)}`];
  }
  return /^\d{4}-\d\d-\d\d$/.test(value) ? [voice.day(value)] : [value.replace(/\.$/, '')];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'owner-data': OwnerDataModel;
  }
}
