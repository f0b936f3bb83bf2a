import type { Instant } from '../../../domain/calendar/instant.ts';
import type { FoldedClock } from '../../../domain/folding/clock.ts';
import { POSITIONS, type Position } from '../../../domain/folding/position-log.ts';
import { clockWords, type ClockWords } from '../frame/clock-words.ts';
import { momentField } from '../frame/day-fields.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, formOf, spokenChoices, tick } from '../frame/form.ts';
import type { Voice } from '../../../views/words/voice.ts';

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
    readonly at: FieldModel;
  }[];
}

/** How the forms are shown: whether the top must stay, their name, and one that came back. */
interface Shown {
  readonly stay: boolean;
  readonly once: string;
  readonly sent: Sent | null;
}

export function positionForm(
  { now, clock, car, entries }: PositionFacts,
  { stay, once, sent }: Shown,
  voice: Voice,
): PositionModel {
  const { say } = voice;
  const { id, timeZone } = car;
  const next = clock.position === 'raised' ? 'folded' : 'raised';
  const position = choice(
    sent,
    'position',
    say('log.position'),
    spokenChoices(voice, 'log', POSITIONS),
    // What nobody should have done is not suggested.
    { radio: true, value: stay ? '' : next },
  );
  const clockWanted = { voice, timeZone, now };
  const at = momentField(sent, 'at', say('log.at'), clockWanted, {
    hint: say('log.at.hint', { zone: timeZone.replaceAll('_', ' ') }),
  });
  return {
    clock: clockWords(clock, { timeZone, now, restHours: 0 }, voice),
    form: formOf(`/cars/${id}/position`, once, sent, [position, at]),
    stays: !stay ? '' : say(clock.stretch === null ? 'log.leave' : 'log.leave.limit'),
    next: stay ? null : { position: next, words: say(`log.now.${next}`), folds: next === 'folded' },
    other: say(stay ? 'log.moved' : 'log.other'),
    damp: tick(sent, 'damp', say('log.damp'), false),
    coverOn: tick(sent, 'coverOn', say('log.cover'), false),
    position,
    at,
    otherOpen: sent !== null,
    entries: entries.map((entry) => ({
      words: entryInWords(entry, voice.moment(entry.at, timeZone, now), voice),
      action: `/cars/${id}/entries/${entry.id}/withdraw`,
      correct: `/cars/${id}/entries/${entry.id}/correct`,
      folded: entry.position,
      at: momentField(null, 'at', say('log.since'), clockWanted, { id: `at-${entry.id}` }),
    })),
  };
}

function entryInWords(
  { position, damp, coverOn }: PositionFacts['entries'][number],
  when: string,
  { say }: Voice,
): string {
  return [
    say('log.entry', { position: say(`log.${position}`), when }),
    ...(damp ? [say('log.entry.damp')] : []),
    ...(coverOn === true ? [say('log.entry.cover')] : []),
  ].join(', ');
}
