import type { Instant } from '../../../domain/calendar/instant.ts';
import type { Position } from '../../../domain/folding/position-log.ts';
import { POSITIONS } from '../../../domain/folding/position-log.ts';
import type { Refusal } from '../../../domain/refusal.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FieldModel } from '../frame/form.ts';
import { momentField } from '../frame/day-fields.ts';
import type { SmallForm } from '../frame/small-form.ts';

/** A form of an owner's page that could not be recorded: what was typed, and what is wrong with it. */
export interface OwnerSent {
  readonly carId: string;
  /** The entry that was to be put right; null where a new one was to be written. */
  readonly entryId: string | null;
  readonly typed: SmallForm;
  /** The time is what is wrong. */
  readonly time: boolean;
}

/** The form that says where a top was, and when. */
export interface EntryFormModel {
  /** It came back and stands open. */
  readonly open: boolean;
  /** Where the top was, as the form says it; empty where nothing is chosen. */
  readonly position: Position | '';
  readonly damp: boolean;
  readonly coverOn: boolean;
  readonly when: FieldModel;
}

/** What of a refused form leads back to its place on the page. */
export function ownerSent(
  refusal: Extract<Refusal, { kind: 'invalid' }>,
  { carId, entryId }: { readonly carId: string; readonly entryId?: string | undefined },
  typed: SmallForm,
): OwnerSent {
  const time = refusal.faults.some(({ pointer }) => ['#/at', '#/when'].includes(pointer));
  return { carId, entryId: entryId ?? null, typed, time };
}

/** What is wrong, in words. */
export function sentInWords({ time }: OwnerSent, voice: Voice): string {
  return voice.say(time ? 'owner.refused.when' : 'owner.refused');
}

/** The form of a car, or of one of its entries, as it was sent where it came back. */
export function entryForm(
  sent: OwnerSent | null,
  whose: Pick<OwnerSent, 'carId' | 'entryId'>,
  first: Position | '',
  clock: { readonly voice: Voice; readonly timeZone: string; readonly now: Instant },
): EntryFormModel {
  const { voice } = clock;
  const came = sent?.carId === whose.carId && sent.entryId === whose.entryId ? sent : null;
  const faults = came?.time === true ? [{ field: 'when', words: sentInWords(came, voice) }] : [];
  const typed = came?.typed ?? {};
  const label = voice.say(whose.entryId === null ? 'owner.other.when' : 'owner.correct.when');
  return {
    open: came !== null,
    position: POSITIONS.find((one) => one === typed['position']) ?? first,
    damp: typed['damp'] !== undefined,
    coverOn: typed['coverOn'] !== undefined,
    // Owners' pages run no script, so no calendar is offered there.
    when: {
      ...momentField(came && { typed, faults }, 'when', label, clock, {
        id: `when-${whose.entryId ?? whose.carId}`,
      }),
      picker: null,
    },
  };
}
