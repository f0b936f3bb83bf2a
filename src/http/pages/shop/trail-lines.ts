import { parseInstant } from '../../../domain/calendar/instant.ts';
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
  voice: Voice,
): TrailLine {
  const { say, locale } = voice;
  const changes = Object.entries(was ?? {}).map(([column, value]) => ({
    label: named(`trail.column.${column}`, column, voice),
    was: shown(value, zone, voice),
    becomes: becomes === null ? '' : shown(becomes[column], zone, voice),
  }));
  const fills = {
    when: locale.instant(at, zone),
    who: authorInWords(author, authorName, voice),
    what: named(`trail.kind.${kind}`, kind, voice),
    action: say(`trail.${action}`),
  };
  const head = of === '' ? say('trail.head', fills) : say('trail.head.of', { ...fills, of });
  return { head, changes };
}

/** The words under a key; without any the name itself, "washersPresent" as "washers present". */
function named(key: string, name: string, { has, say }: Voice): string {
  return has(key)
    ? say(key)
    : name.replaceAll('_', ' ').replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

/** Who made a change, by name where there is one; a key is called one in the reader’s language. */
function authorInWords(author: string, name: string, { say, tell }: Voice): string {
  if (name !== '') return author.startsWith('key:') ? tell(name) : name;
  return say(author.startsWith('owner:') ? 'trail.owner' : 'trail.foldkeep');
}

function shown(value: unknown, zone: string, { say, tell, locale }: Voice): string {
  if (value === null || value === undefined || value === '') return say('trail.nothing');
  if (typeof value !== 'string') return tell(JSON.stringify(value));
  const instant = parseInstant(value);
  return instant === null ? tell(value) : locale.instant(instant, zone);
}
