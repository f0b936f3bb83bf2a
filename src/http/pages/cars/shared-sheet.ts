import { dayIn } from '../../../domain/calendar/zone.ts';
import type { SharedRecord, SharedWithUs } from '../../../usecases/sharing/shared-with-us.ts';
import { jointWords } from '../frame/finding-words.ts';
import type { Voice } from '../../../views/words/voice.ts';
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
  voice: Voice,
): [Frame, SharedModel] {
  const { say } = voice;
  const model: SharedModel = {
    heading: say('shared.heading', { registration }),
    carHref: `/cars/${carId}`,
    records: records.map((record) => ({
      from: say('shared.from', { name: record.from }),
      shares: Object.entries(record.since).map(([kind, since]) =>
        say(`shared.kind.${kind}`, { day: voice.day(dayIn(record.timeZone, since)) }),
      ),
      position: positionWords(record, voice),
      visits: (record.visits ?? []).map(({ on, kind, readings, faults }) => ({
        heading: say('shared.visit', { day: voice.day(on), kind: say(`visit-kind.${kind}`) }),
        lines: [
          ...readings.filter(isNews).map((reading) => readingWords(reading, voice)),
          ...(readings.length > 0 && !readings.some(isNews)
            ? [voice.count('shared.free', readings.length)]
            : []),
          ...faults.map(({ fault, outcome }) =>
            say('shared.fault', { fault: voice.tell(fault), outcome: voice.tell(outcome) }),
          ),
        ],
      })),
      letters: (record.letters ?? []).map(({ kind, at }) =>
        say('shared.letter', {
          day: voice.day(dayIn(record.timeZone, at)),
          kind: kindWords(kind),
        }),
      ),
    })),
  };
  return [{ lang: voice.language, title: say('shared.title'), nav: { here: 'tops' } }, model];
}

function positionWords({ position, timeZone }: SharedRecord, { say, day }: Voice): string {
  if (position === null) return '';
  if (position === 'nothing') return say('shared.unlogged');
  return say('shared.position', {
    position: say(`position.${position.position}`),
    day: day(dayIn(timeZone, position.at)),
  });
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

function readingWords(reading: Reading, voice: Voice): string {
  const { say, locale } = voice;
  const { pivot, state, repaired, oiled, washersPresent, washersExpected } = reading;
  const missing = washersExpected - (washersPresent ?? washersExpected);
  const { axialPlayMm, radialPlayMm } = reading;
  return [
    say('shared.joint', { joint: jointWords(voice, pivot), state: say(`pivot-state.${state}`) }),
    ...(repaired ? [say('shared.repaired')] : []),
    ...(oiled ? [say('shared.oiled')] : []),
    ...(missing > 0 ? [say('shared.missing', { count: String(missing) })] : []),
    ...(axialPlayMm === null ? [] : [say('visit.axial', { mm: locale.number(axialPlayMm) })]),
    ...(radialPlayMm === null ? [] : [say('visit.radial', { mm: locale.number(radialPlayMm) })]),
  ].join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly shared: SharedModel;
  }
}
