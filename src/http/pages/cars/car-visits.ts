import { TOLD_NOTES } from '../../../usecases/own/visit-notes.ts';
import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { findingInWords, jointWords } from '../frame/finding-words.ts';

/** A visit as it is told of. */
export interface VisitModel {
  /** Where a booked visit is completed or called off; null where it is over. */
  readonly href: string | null;
  /** Where what was recorded of it can be put right; null where it did not take place. */
  readonly record: string | null;
  readonly heading: string;
  readonly lines: readonly string[];
  readonly readings: readonly { readonly pivot: string; readonly found: string }[];
  readonly findings: readonly string[];
}

/** A visit as it is told of: what was measured, read and found. */
export function visitModel(visit: VisitRecord, records: boolean, voice: Voice): VisitModel {
  const { state } = visit;
  const measures = measuresInWords(visit, voice);
  const open = state === 'booked' || state === 'planned';
  return {
    href: records && (open || state === 'missed') ? `/visits/${visit.id}` : null,
    record: state === 'done' ? `/visits/${visit.id}/record` : null,
    heading: visitInWords(visit, voice),
    lines: [
      ...(measures.length === 0 ? [] : [`${measures.join('; ')}.`]),
      ...(visit.notes === null ? [] : [notesInWords(visit.notes, voice)]),
    ],
    readings: visit.readings.map((reading) => ({
      pivot: jointWords(voice, reading.pivot),
      found: readingInWords(reading, voice),
    })),
    findings: visit.findings.map((finding) => findingInWords(finding, voice)),
  };
}

/** What people typed stays as they typed it. */
function notesInWords(notes: string, { tell }: Voice): string {
  return TOLD_NOTES.includes(notes) ? tell(notes) : notes;
}

/** "Friday 12 June 2026: lubrication, done" */
export function visitInWords(
  { doneOn, plannedOn, kind, state }: VisitRecord,
  { say, day }: Voice,
): string {
  const on = doneOn ?? plannedOn;
  return say('visit.heading', {
    day: on === null ? say('visit.no-day') : day(on),
    kind: say(`visit-kind.${kind}`),
    state: say(`visit-state.${state}`),
  });
}

function measuresInWords(visit: VisitRecord, { say, locale }: Voice): string[] {
  const { minutes, swayMm, diagonalsMm, breakawayN, readings } = visit;
  const oiled = readings.filter((reading) => reading.oiled).length;
  const { number } = locale;
  return [
    ...(minutes === null ? [] : [say('visit.minutes', { minutes: number(minutes) })]),
    ...(oiled === 0
      ? []
      : [say('visit.oiled', { oiled: number(oiled), all: number(readings.length) })]),
    ...(swayMm === null ? [] : [say('visit.sway', { mm: number(swayMm) })]),
    ...(diagonalsMm === null
      ? []
      : [
          say('visit.diagonals', {
            left: number(diagonalsMm.left),
            right: number(diagonalsMm.right),
          }),
        ]),
    ...(breakawayN === null ? [] : [say('visit.breakaway', { newton: number(breakawayN) })]),
  ];
}

function readingInWords(reading: VisitRecord['readings'][number], voice: Voice): string {
  const { say, count, locale, tell } = voice;
  const { state, washersPresent, axialPlayMm, radialPlayMm, repaired, lubricant } = reading;
  return [
    say(`pivot-state.${state}`),
    ...(washersPresent === null ? [] : [count('visit.washers', washersPresent)]),
    ...(axialPlayMm === null ? [] : [say('visit.axial', { mm: locale.hundredths(axialPlayMm) })]),
    ...(radialPlayMm === null
      ? []
      : [say('visit.radial', { mm: locale.hundredths(radialPlayMm) })]),
    ...(repaired ? [say('visit.repaired')] : []),
    ...(lubricant === null ? [] : [tell(lubricant)]),
  ].join(', ');
}
