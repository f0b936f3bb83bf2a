import type { Instant } from '../../../domain/calendar/instant.ts';
import type { FoldedClock } from '../../../domain/folding/clock.ts';
import { POSITIONS, type Position } from '../../../domain/folding/position-log.ts';
import { clockWords, type ClockWords } from '../frame/clock-words.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, tick } from '../frame/form.ts';
import { voiceFor } from '../../../views/words/voice.ts';

export interface PositionFacts {
  readonly now: Instant;
  readonly clock: FoldedClock;
  readonly car: { readonly id: string; readonly timeZone: string };
  readonly entries: readonly {
    readonly id: string;
    readonly position: Position;
    readonly at: Instant;
    readonly damp: boolean;
    readonly coverOn: boolean | null;
  }[];
}

/** Where a top is, and the forms that log that it was moved or that an entry was wrong. */
export interface PositionModel {
  readonly clock: ClockWords;
  readonly form: FormModel;
  /** The big button: what most probably comes next. */
  readonly next: { readonly position: Position; readonly words: string; readonly folds: boolean };
  readonly damp: TickModel;
  readonly coverOn: TickModel;
  /** Where something else happened, or earlier. */
  readonly position: FieldModel;
  readonly at: FieldModel;
  readonly otherOpen: boolean;
  readonly entries: readonly {
    readonly words: string;
    readonly action: string;
    /** Where it is put right: the wrong one stays in the log and counts for nothing. */
    readonly correct: string;
    readonly folded: string;
  }[];
}

const WORDS: Readonly<Record<Position, string>> = {
  raised: 'Raised',
  folded: 'Folded',
  'folded-under-hard-top': 'Folded under the hard top',
};

export function positionForm(
  { now, clock, car, entries }: PositionFacts,
  once: string,
  sent: Sent | null,
): PositionModel {
  const { id, timeZone } = car;
  const voice = voiceFor('en');
  const next = clock.position === 'raised' ? 'folded' : 'raised';
  const position = choice(
    sent,
    'position',
    'Where the top is',
    POSITIONS.map((value) => [value, WORDS[value]]),
    { radio: true, value: next },
  );
  const at = field(sent, 'at', 'Since when', {
    type: 'datetime-local',
    hint: `Left empty: now. The clock is that of ${timeZone.replaceAll('_', ' ')}.`,
  });
  return {
    clock: clockWords(clock, { timeZone, now, restHours: 0 }, voice),
    form: formOf(`/cars/${id}/position`, once, sent, [position, at]),
    next: { position: next, words: `${WORDS[next]} now`, folds: next === 'folded' },
    damp: tick(sent, 'damp', 'It was damp', false),
    coverOn: tick(sent, 'coverOn', 'Its cover is on', false),
    position,
    at,
    otherOpen: sent !== null,
    entries: entries.map((entry) => ({
      words: entryInWords(entry, voice.moment(entry.at, timeZone, now)),
      action: `/cars/${id}/entries/${entry.id}/withdraw`,
      correct: `/cars/${id}/entries/${entry.id}/correct`,
      folded: entry.position,
    })),
  };
}

function entryInWords(
  { position, damp, coverOn }: PositionFacts['entries'][number],
  when: string,
): string {
  return [
    `${WORDS[position]} ${when}`,
    ...(damp ? ['damp'] : []),
    ...(coverOn === true ? ['cover on'] : []),
  ].join(', ');
}
