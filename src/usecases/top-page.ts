import type { PatternPivot } from '../domain/pivots/frame-patterns.ts';
import type { CarRecord } from './car-records.ts';
import type { Caller, Deed } from './deed.ts';
import { patternPivots } from './frame-patterns.ts';
import { showCar } from './read-cars.ts';
import type { TopPivotsRecord } from './read-pivots.ts';
import { readTopPivots } from './read-pivots.ts';
import { showTop } from './read-tops.ts';
import type { TopRecord } from './top-records.ts';

export interface TopPageRecord {
  readonly top: TopRecord;
  readonly car: CarRecord;
  readonly pivots: TopPivotsRecord;
  /** Where the pivots are drawn; empty for a pattern that is no longer known. */
  readonly pattern: readonly PatternPivot[];
}

/** A top with its frame as a drawing and what the readings at its pivots say. */
export async function readTopPage(deed: Deed, caller: Caller, id: string): Promise<TopPageRecord> {
  const top = await showTop(deed, caller, id);
  return {
    top,
    car: await showCar(deed, caller, top.carId),
    pivots: await readTopPivots(deed, caller, id),
    pattern: (await patternPivots(deed.store.records, caller, top.framePattern)) ?? [],
  };
}
