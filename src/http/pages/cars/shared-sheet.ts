import { pivotInWords } from '../../../domain/pivots/frame-patterns.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { SharedRecord, SharedWithUs } from '../../../usecases/sharing/shared-with-us.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { LetterKind } from '../../../domain/round/letter-kind.ts';
import type { Frame } from '../frame/frame.ts';

export interface SharedModel {
  readonly heading: string;
  readonly carHref: string;
  readonly records: readonly {
    readonly from: string;
    readonly position: string;
    readonly visits: readonly { readonly heading: string; readonly lines: readonly string[] }[];
    readonly letters: readonly string[];
    readonly shares: readonly string[];
  }[];
}

/** What the owner of a car shares from another organisation's records. */
export function sharedSheet(
  { registration, records }: SharedWithUs,
  carId: string,
  kindWords: (kind: LetterKind) => string,
): [Frame, SharedModel] {
  const voice = voiceFor('en');
  const model: SharedModel = {
    heading: `Shared by the owner of ${registration}`,
    carHref: `/cars/${carId}`,
    records: records.map((record) => ({
      from: record.from,
      shares: Object.entries(record.since).map(
        ([kind, since]) =>
          `${SHARES[kind] ?? kind}: since ${voice.day(dayIn(record.timeZone, since))}`,
      ),
      position: positionWords(record),
      visits: (record.visits ?? []).map(({ on, kind, readings, faults }) => ({
        heading: `${voice.day(on)}, ${kind}`,
        lines: [
          ...readings.filter(isNews).map(readingWords),
          ...(readings.length > 0 && !readings.some(isNews)
            ? [`${readings.length} joints: free, washers there`]
            : []),
          ...faults.map(({ fault, outcome }) => `${fault}: ${outcome}`),
        ],
      })),
      letters: (record.letters ?? []).map(
        ({ kind, at }) => `${voice.day(dayIn(record.timeZone, at))}: ${kindWords(kind)}`,
      ),
    })),
  };
  return [{ lang: 'en', title: 'Shared by an owner', nav: { here: 'tops' } }, model];
}

const SHARES: Readonly<Record<string, string>> = {
  visits: 'visits and readings',
  positions: 'where the top stands',
  letters: 'letters',
};

function positionWords({ position, timeZone }: SharedRecord): string {
  if (position === null) return '';
  if (position === 'nothing') return 'Nothing is logged of where the top stands.';
  const on = voiceFor('en').day(dayIn(timeZone, position.at));
  return `The top: ${position.position.replaceAll('-', ' ')}, logged on ${on}.`;
}

type Reading = NonNullable<SharedRecord['visits']>[number]['readings'][number];

function isNews({ state, repaired, washersPresent, washersExpected, ...play }: Reading): boolean {
  return (
    state !== 'free' ||
    repaired ||
    (washersPresent ?? washersExpected) < washersExpected ||
    play.axialPlayMm !== null ||
    play.radialPlayMm !== null
  );
}

function readingWords(reading: Reading): string {
  const { pivot, state, repaired, oiled, washersPresent, washersExpected } = reading;
  const missing = washersExpected - (washersPresent ?? washersExpected);
  return [
    `${pivotInWords(pivot)}: ${state}`,
    ...(repaired ? ['repaired'] : []),
    ...(oiled ? ['oiled'] : []),
    ...(missing > 0 ? [`washers missing: ${missing}`] : []),
    ...(reading.axialPlayMm === null ? [] : [`${reading.axialPlayMm} mm axial`]),
    ...(reading.radialPlayMm === null ? [] : [`${reading.radialPlayMm} mm radial`]),
  ].join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly shared: SharedModel;
  }
}
