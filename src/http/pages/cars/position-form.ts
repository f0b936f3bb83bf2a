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
  /** Set where the top must not be moved: what then becomes of its limit, and of the big button. */
  readonly stays: string;
  /** The big button: what most probably comes next; null where the top must stay. */
  readonly next: {
    readonly position: Position;
    readonly words: string;
    readonly folds: boolean;
  } | null;
  readonly other: string;
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
  stay: boolean,
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
    // What nobody should have done is not suggested.
    { radio: true, value: stay ? '' : next },
  );
  const at = field(sent, 'at', 'Since when', {
    type: 'datetime-local',
    hint: `Left empty: now. The clock is that of ${timeZone.replaceAll('_', ' ')}.`,
  });
  return {
    clock: clockWords(clock, { timeZone, now, restHours: 0 }, voice),
    form: formOf(`/cars/${id}/position`, once, sent, [position, at]),
    stays: !stay
      ? ''
      : clock.stretch === null
        ? 'Leave it as it is.'
        : 'Leave it: the limit does not count now.',
    next: stay ? null : { position: next, words: `${WORDS[next]} now`, folds: next === 'folded' },
    other: stay ? 'It was moved all the same? Put the log right' : 'Something else, or earlier',
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
