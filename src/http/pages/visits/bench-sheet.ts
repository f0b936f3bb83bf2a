import type { Voice } from '../../../views/words/voice.ts';
import { declinedWork } from '../../../usecases/day/declined-work.ts';
import type { FindingRecord } from '../../../usecases/own/visit-records.ts';
import { cautionWords } from '../frame/caution-words.ts';
import { jointWords } from '../frame/finding-words.ts';
import { type SpokenSide, spokenMap } from '../frame/map-words.ts';
import { declinedInWords } from './declined-words.ts';
import type { FastifyInstance } from 'fastify';
import type { Context } from '../../../usecases/context/context.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import { readTopPage } from '../../../usecases/day/top-page.ts';
import { carInWords, topInWords } from '../cars/car-words.ts';
import { pivotMap } from '../../../views/pivot-map.ts';
import { bookedInWords } from '../cars/top-words.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { squareOf } from '../owners/card-sheet.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';

/** A sheet of paper for the bench: what was found last, and room for what is found now. */
export interface BenchSheetModel extends ShopStay {
  readonly registration: string;
  readonly topHref: string;
  readonly what: readonly string[];
  readonly booked: readonly string[];
  /** What was declined earlier. */
  readonly declined: readonly string[];
  readonly printed: string;
  readonly map: readonly SpokenSide[];
  readonly rows: readonly {
    readonly number: number;
    readonly code: string;
    readonly last: string;
    readonly washers: string;
  }[];
  readonly cautions: readonly string[];
  readonly code: ReturnType<typeof squareOf>;
}

/** The job sheet of a top, to be printed: its square opens the form for what was done. */
export function benchSheetPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/tops/:id/bench-sheet', async ({ caller, voice, id }) => {
    const facts = await readTopPage(context, caller, id);
    const address = `${context.publicUrl}/tops/${id}/visit`;
    return renderFor(
      caller,
      'bench-sheet',
      ...benchSheet(facts, await declinedWork(context, caller, id), address, voice),
    );
  });
}

function benchSheet(
  facts: TopPageRecord,
  declined: readonly FindingRecord[],
  address: string,
  voice: Voice,
): [Frame, BenchSheetModel] {
  const { say } = voice;
  const { car, top, today, pivots, pattern } = facts;
  // On paper nobody marks a joint by what it was: the map shows where it is.
  const unmarked = pivots.items.map((pivot) => ({ ...pivot, verdict: 'unread' as const }));
  const model: BenchSheetModel = {
    ...shopStay(car.registration, top.mayMove, voice),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    what: [
      carInWords(car),
      topInWords(top, voice),
      say('bench-sheet.fitted', { day: voice.day(top.fittedOn) }),
    ].filter(Boolean),
    declined: declinedInWords(declined, voice),
    booked: facts.booked.map((visit) => bookedInWords(visit, voice)),
    printed: voice.day(today),
    map: spokenMap(pivotMap(unmarked, pattern), false, voice),
    rows: pivots.items.map((pivot, i) => ({
      number: i + 1,
      code: jointWords(voice, pivot.code),
      last: lastInWords(pivot, voice),
      washers:
        pivot.washersExpected === 0
          ? say('bench-sheet.no-washers')
          : say('bench-sheet.of', { count: String(pivot.washersExpected) }),
    })),
    cautions: cautionWords(voice, top.powered, 'frame', 'springs'),
    code: squareOf(address),
  };
  return [{ lang: voice.language, title: say('bench-sheet.title'), nav: { here: 'tops' } }, model];
}

function lastInWords(
  { lastReading, washersExpected }: TopPageRecord['pivots']['items'][number],
  { say, locale }: Voice,
): string {
  if (lastReading === null) return say('last.unread');
  const { doneOn, state, washersPresent, axialPlayMm, radialPlayMm } = lastReading;
  return [
    say('last.state', { state: say(`pivot-state.${state}`), day: locale.numericDay(doneOn) }),
    // At a joint that takes no washers nobody counted any.
    ...(washersPresent === null || washersExpected === 0
      ? []
      : [say('last.washers', { count: String(washersPresent), all: String(washersExpected) })]),
    ...(axialPlayMm === null ? [] : [say('last.axial', { mm: locale.hundredths(axialPlayMm) })]),
    ...(radialPlayMm === null ? [] : [say('last.radial', { mm: locale.hundredths(radialPlayMm) })]),
  ].join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'bench-sheet': BenchSheetModel;
  }
}
