import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** What was changed about a record, as its page tells it. */
export interface TrailModel {
  readonly lines: readonly TrailLine[];
  /** Where all of it is; empty where this is all. */
  readonly more: string;
}

interface TrailLine {
  readonly head: string;
  readonly changes: readonly {
    readonly label: string;
    readonly was: string;
    readonly becomes: string;
  }[];
}

/** The entries of a trail in the words of a voice, on the clock of a zone. */
export function trailModel(
  items: readonly TrailRecord[],
  timeZone: string,
  more: string,
  voice: Voice,
): TrailModel {
  return { lines: items.map((entry) => lineOf(entry, timeZone, voice)), more };
}

function lineOf(
  { at, author, authorName, kind, of, action, was, becomes }: TrailRecord,
  zone: string,
  { locale }: Voice,
): TrailLine {
  const changes = Object.entries(was ?? {}).map(([column, value]) => ({
    label: LABELS[column] ?? spelled(column),
    was: shown(value),
    becomes: becomes === null ? '' : shown(becomes[column]),
  }));
  const what = KINDS[kind] ?? spelled(kind);
  const whose = of === '' ? '' : ` “${of}”`;
  const head = `${locale.instant(at, zone)}, ${authorInWords(author, authorName)}: ${what}${whose} ${action}`;
  return { head, changes };
}

/** Who made a change, by name where there is one. */
function authorInWords(author: string, name: string): string {
  if (name !== '') return name;
  return author.startsWith('owner:') ? 'the owner' : 'Foldkeep itself';
}

const KINDS: Readonly<Record<string, string>> = {
  passkey: 'passkey of',
  retention: 'records past their time',
  link: 'link made by hand',
  position_entry: 'entry of the position log',
  call_entry: 'call',
  access_key: 'access key',
  frame_pattern: 'frame pattern',
  price_setting: 'prices',
  part_order: 'order of parts',
  part_use: 'parts taken by a visit',
  export: 'taking records out',
  trial_letter: 'trial letter',
};

const LABELS: Readonly<Record<string, string>> = {
  passwordSetAt: 'password with authenticator set',
  recoveryCodesMadeAt: 'recovery codes made',
  linksRevokedAt: 'all links ended',
  usedAt: 'used',
  revokedAt: 'taken back',
  endedAt: 'left',
  takenOut: 'taken out',
  doneOn: 'done on',
  plannedOn: 'planned for',
  swayMm: 'sway, mm',
  diagonalLeftMm: 'left diagonal, mm',
  diagonalRightMm: 'right diagonal, mm',
  breakawayN: 'breakaway force, N',
  axialPlayMm: 'axial play, mm',
  radialPlayMm: 'radial play, mm',
  foldedLimitDays: 'folded at most, days',
  foldFloorCelsius: 'not folded under, °C',
  unitPrice: 'price of a piece, in the smallest coin',
  ownerId: 'owner',
  carId: 'car',
  pivotId: 'pivot',
};

/** "washersPresent" as "washers present". */
function spelled(name: string): string {
  return name.replaceAll('_', ' ').replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

function shown(value: unknown): string {
  if (value === null || value === undefined || value === '') return 'nothing';
  return typeof value === 'string' ? value : JSON.stringify(value);
}
