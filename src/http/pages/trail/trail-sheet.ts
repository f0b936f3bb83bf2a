import type { Voice } from '../../../views/words/voice.ts';
import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import type { Frame } from '../frame/frame.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';

export interface TrailPageModel {
  readonly trail: TrailModel;
  /** The same as a table for a spreadsheet. */
  readonly table: string;
  readonly older: string;
}

/** What was changed in the records. */
export function trailSheet(
  items: readonly TrailRecord[],
  timeZone: string,
  way: {
    readonly page: string;
    /** The query that says of which records. */
    readonly asked: string;
    readonly next: string | null;
  },
  voice: Voice,
): [Frame, TrailPageModel] {
  const { page, asked, next } = way;
  const model = {
    trail: trailModel(items, timeZone, '', voice),
    table: `/trail.csv?${asked}`,
    older: next === null ? '' : `${page}?${asked}&after=${encodeURIComponent(next)}`,
  };
  return [{ lang: voice.language, title: voice.say('trail.title'), nav: { here: '' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly trail: TrailPageModel;
  }
}
