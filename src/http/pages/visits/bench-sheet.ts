import { voiceFor } from '../../../views/words/voice.ts';
import type { FastifyInstance } from 'fastify';
import { cautionsFor } from '../../../domain/cautions/cautions.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import { readTopPage } from '../../../usecases/day/top-page.ts';
import { localeOf } from '../../../views/words/locale.ts';
import { carInWords, topInWords } from '../cars/car-sheet.ts';
import { type MapSide, pivotMap } from '../../../views/pivot-map.ts';
import { bookedInWords } from '../cars/top-sheet.ts';
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
  readonly printed: string;
  readonly map: readonly MapSide[];
  readonly rows: readonly {
    readonly number: number;
    readonly code: string;
    readonly last: string;
    readonly washers: string;
  }[];
  readonly cautions: readonly string[];
  readonly code: ReturnType<typeof squareOf>;
}

const EN = localeOf('en-GB');

/** The job sheet of a top, to be printed: its square opens the form for what was done. */
export function benchSheetPage(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/tops/:id/bench-sheet', async ({ caller, id }) => {
    const facts = await readTopPage(context, caller, id);
    const address = `${context.publicUrl}/tops/${id}/visit`;
    return renderFor(caller, 'bench-sheet', ...benchSheet(facts, address));
  });
}

function benchSheet(facts: TopPageRecord, address: string): [Frame, BenchSheetModel] {
  const { car, top, today, pivots, pattern } = facts;
  const { first, cautions } = cautionsFor('frame', 'springs');
  // On paper nobody marks a joint by what it was: the map shows where it is.
  const unmarked = pivots.items.map((pivot) => ({ ...pivot, verdict: 'unread' as const }));
  const model: BenchSheetModel = {
    ...shopStay(car.registration, top.mayMove, voiceFor('en')),
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    what: [carInWords(car), topInWords(top), `fitted on ${EN.day(top.fittedOn)}`].filter(Boolean),
    booked: facts.booked.map(bookedInWords),
    printed: EN.day(today),
    map: pivotMap(unmarked, pattern),
    rows: pivots.items.map((pivot, i) => ({
      number: i + 1,
      code: pivot.code,
      last: lastInWords(pivot),
      washers: pivot.washersExpected === 0 ? 'none' : `of ${pivot.washersExpected}`,
    })),
    cautions: [first.en, ...cautions.map(({ hazard, show }) => `${hazard.en}. ${show.en}`)],
    code: squareOf(address),
  };
  return [{ lang: 'en', title: 'A sheet for the bench', nav: { here: 'tops' } }, model];
}

function lastInWords({
  lastReading,
  washersExpected,
}: TopPageRecord['pivots']['items'][number]): string {
  if (lastReading === null) return 'not read yet';
  const { doneOn, state, washersPresent, axialPlayMm, radialPlayMm } = lastReading;
  return [
    `${state}, ${doneOn}`,
    ...(washersPresent === null ? [] : [`washers ${washersPresent} of ${washersExpected}`]),
    ...(axialPlayMm === null ? [] : [`axial ${axialPlayMm.toFixed(2)}`]),
    ...(radialPlayMm === null ? [] : [`radial ${radialPlayMm.toFixed(2)}`]),
  ].join(', ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'bench-sheet': BenchSheetModel;
  }
}
